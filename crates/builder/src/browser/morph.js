// Morphs markup into a part of the page: what did not change stays, with its focus and caret.
import { Idiomorph } from "idiomorph";

// The library leaves the content of the active element alone, whatever it is. That is right for
// a field in which somebody types, and wrong for everything else that can have the focus.
function isTypedIn(element) {
  return element !== null && ["INPUT", "TEXTAREA", "SELECT"].includes(element.tagName);
}

// What folds and was in the page before; only the teacher folds and unfolds it.
const known = new WeakSet();

function remember(element) {
  for (const own of element.querySelectorAll("details")) known.add(own);
}

function morphed(element, html, morphStyle) {
  Idiomorph.morph(element, html, {
    morphStyle,
    ignoreActiveValue: isTypedIn(document.activeElement),
    callbacks: {
      // A place whose content is the same was left empty in the markup, and stays as it is.
      beforeNodeMorphed: (node, made) => !(made.dataset && "same" in made.dataset),
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
