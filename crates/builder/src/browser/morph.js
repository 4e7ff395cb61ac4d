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
  if (!node.isEqualNode(made)) return false;
  if (node.nodeType !== Node.ELEMENT_NODE) return true;
  const fields = node.matches(FIELDS) ? [node] : [...node.querySelectorAll(FIELDS)];
  return fields.every(holdsItsMarkup);
}

// What folds and was in the page before; only the teacher folds and unfolds it.
const known = new WeakSet();

function remember(element) {
  for (const own of element.querySelectorAll("details")) known.add(own);
}

/** Tells whether two nodes are elements of a kind with the same attributes, whatever is in them. */
function isSameWithout(node, made) {
  return made?.nodeType === Node.ELEMENT_NODE && node.cloneNode(false).isEqualNode(made.cloneNode(false));
}

/** Gives the smallest element in which all lies that differs, with what is made of it. */
function narrowed(element, made) {
  for (;;) {
    const [old, own] = [[...element.childNodes], [...made.childNodes]];
    while (old.length > 0 && own.length > 0 && isAsMade(old[0], own[0])) {
      old.shift();
      own.shift();
    }
    while (old.length > 0 && own.length > 0 && isAsMade(old.at(-1), own.at(-1))) {
      old.pop();
      own.pop();
    }
    const alone = old.length === 1 && own.length === 1 && isSameWithout(old[0], own[0]);
    if (!alone || old[0].matches(FIELDS)) return [element, made];
    [element, made] = [old[0], own[0]];
  }
}

function morphed(element, html, morphStyle) {
  // Left to itself the library makes a whole document of each text.
  const template = document.createElement("template");
  template.innerHTML = html;
  let made = template.content;
  if (morphStyle === "outerHTML" && isSameWithout(element, made.firstChild)) {
    made = made.firstChild;
    morphStyle = "innerHTML";
  }
  // The library looks at everything it is given; what is plainly the same is kept from it.
  if (morphStyle === "innerHTML") [element, made] = narrowed(element, made);
  Idiomorph.morph(element, [...made.childNodes], {
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
