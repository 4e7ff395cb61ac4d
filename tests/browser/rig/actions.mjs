// What the drivers of Firefox and WebKit share: actions, and a few functions for the page.
//
// Names of keys and what WebDriver calls them (W3C WebDriver, "Keyboard actions").

const CODES = {
  Backspace: "\uE003",
  Tab: "\uE004",
  Enter: "\uE007",
  Shift: "\uE008",
  Control: "\uE009",
  Alt: "\uE00A",
  Escape: "\uE00C",
  PageUp: "\uE00E",
  PageDown: "\uE00F",
  End: "\uE010",
  Home: "\uE011",
  ArrowLeft: "\uE012",
  ArrowUp: "\uE013",
  ArrowRight: "\uE014",
  ArrowDown: "\uE015",
  Delete: "\uE017",
};

/** Gives the actions that press a key or a chord such as "Control+z". */
export function keyActions(chord) {
  const keys = chord.length > 1 ? chord.split("+") : [chord];
  const values = keys.map((key) => CODES[key] ?? key);
  return {
    type: "key",
    id: "keyboard",
    actions: [
      ...values.map((value) => ({ type: "keyDown", value })),
      ...values.reverse().map((value) => ({ type: "keyUp", value })),
    ],
  };
}

/** Gives the actions that click the middle of an element, as WebDriver names it. */
export function clickActions(origin) {
  return {
    type: "pointer",
    id: "mouse",
    parameters: { pointerType: "mouse" },
    actions: [
      { type: "pointerMove", x: 0, y: 0, origin },
      { type: "pointerDown", button: 0 },
      { type: "pointerUp", button: 0 },
    ],
  };
}

/** Brings an element into view; runs in the page. */
export const SCROLL_TO = `(selector) =>
  document.querySelector(selector).scrollIntoView({ block: "center", behavior: "instant" })`;

/** Gives the text that an element shows; runs in the page. */
export const TEXT_OF = "(selector) => document.querySelector(selector).innerText";
