// Morphs markup into a part of the page: what did not change stays, with its focus and caret.
import { Idiomorph } from "idiomorph";

// The library leaves the content of the active element alone, whatever it is. That is right for
// a field in which somebody types, and wrong for everything else that can have the focus.
function isTypedIn(element) {
  return element !== null && ["INPUT", "TEXTAREA", "SELECT"].includes(element.tagName);
}

// What folds and was in the page before; only the teacher folds and unfolds it.
const known = new WeakSet();

export function morph(element, html) {
  Idiomorph.morph(element, html, {
    morphStyle: "innerHTML",
    ignoreActiveValue: isTypedIn(document.activeElement),
    callbacks: {
      // The frame of the preview is put there by hand and stays.
      beforeNodeRemoved: (node) => node.id !== "preview-frame",
      // What the teacher opened stays open.
      beforeAttributeUpdated: (name, node) => !(name === "open" && (node.tagName === "DIALOG" || known.has(node))),
    },
  });
  for (const own of element.querySelectorAll("details")) known.add(own);
}
