// Morphs markup into a part of the page: what did not change stays, with its focus and caret.
import { Idiomorph } from "idiomorph";

export function morph(element, html) {
  Idiomorph.morph(element, html, {
    morphStyle: "innerHTML",
    ignoreActiveValue: true,
    callbacks: {
      // The frame of the preview is put there by hand and stays.
      beforeNodeRemoved: (node) => node.id !== "preview-frame",
    },
  });
}
