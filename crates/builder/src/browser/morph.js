// Morphs markup into a part of the page: what did not change stays, with its focus and caret.
import { Idiomorph } from "idiomorph";

// The library leaves the content of the active element alone, whatever it is. That is right for
// a field in which somebody types, and wrong for everything else that can have the focus.
function isTypedIn(element) {
  return element !== null && ["INPUT", "TEXTAREA", "SELECT"].includes(element.tagName);
}

const FIELDS = "input, textarea, select";

/** Tells whether a field holds what its markup says. */
function holdsItsMarkup(field) {
  if (field.tagName === "SELECT") return [...field.options].every((own) => own.selected === own.defaultSelected);
  return field.value === field.defaultValue && field.checked === field.defaultChecked;
}

/** Tells whether a part of the page is as it is made already; the browser finds that out at once. */
function isAsMade(node, made) {
  if (node.nodeType !== Node.ELEMENT_NODE || !node.isEqualNode(made)) return false;
  const fields = node.matches(FIELDS) ? [node] : [...node.querySelectorAll(FIELDS)];
  return fields.every(holdsItsMarkup);
}

// What folds and was in the page before; only the teacher folds and unfolds it.
const known = new WeakSet();

function remember(element) {
  for (const own of element.querySelectorAll("details")) known.add(own);
}

function morphed(element, html, morphStyle) {
  // Left to itself the library makes a whole document of each text.
  const made = document.createElement("template");
  made.innerHTML = html;
  Idiomorph.morph(element, made.content, {
    morphStyle,
    ignoreActiveValue: isTypedIn(document.activeElement),
    callbacks: {
      // A place whose content is the same was left empty in the markup, and stays as it is.
      beforeNodeMorphed: (node, made) => !(made.dataset && "same" in made.dataset) && !isAsMade(node, made),
      // The frame of the preview is put there by hand and stays.
      beforeNodeRemoved: (node) => node.id !== "preview-frame",
      // What the teacher opened stays open.
      beforeAttributeUpdated: (name, node) => !(name === "open" && (node.tagName === "DIALOG" || known.has(node))),
    },
  });
  remember(element);
}

/** Morphs markup into an element. */
export function morph(element, html) {
  // Where nothing stands there is nothing to keep.
  if (element.hasChildNodes()) morphed(element, html, "innerHTML");
  else {
    element.innerHTML = html;
    remember(element);
  }
}

/** Morphs an element into the one that the markup is. */
export const morphElement = (element, html) => morphed(element, html, "outerHTML");
