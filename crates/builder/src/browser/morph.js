// Morphs markup into a part of the page: what did not change stays, with its focus and caret.
import { Idiomorph } from "idiomorph";

// The library leaves the content of the active element alone, whatever it is. That is right for
// a field in which somebody types, and wrong for everything else that can have the focus.
function isTypedIn(element) {
  return element !== null && ["INPUT", "TEXTAREA", "SELECT"].includes(element.tagName);
}

export function morph(element, html) {
  Idiomorph.morph(element, html, {
    morphStyle: "innerHTML",
    ignoreActiveValue: isTypedIn(document.activeElement),
    callbacks: {
      // The frame of the preview is put there by hand and stays.
      beforeNodeRemoved: (node) => node.id !== "preview-frame",
      // What the teacher opened stays open, and only what is new, and still empty, opens by itself.
      beforeAttributeUpdated: (name, node) =>
        !(name === "open" && ["DETAILS", "DIALOG"].includes(node.tagName) && node.hasChildNodes()),
    },
  });
}
