// A guide that has a hostile text in each of its fields.

import { LONG, STRINGS } from "./strings.mjs";

/** The texts. */
export const TEXTS = Object.values(STRINGS);

/** Writes all texts into one, for the fields that a guide has only one of. */
export const together = (texts) => texts.filter((text) => text !== LONG).join(" | ");

/** Cuts a text to what a printed number may have: 32 letters, counted as code points. */
const number = (text) => [...text].slice(0, 32).join("");

/** Makes a guide with one measure, tip and to-do for each text, and the texts in all its fields. */
export function hostileGuide(id, texts = TEXTS) {
  const other = (index) => texts[(index + 7) % texts.length];
  return {
    cueleaf: "1.0",
    id,
    title: together(texts),
    composer: together(texts),
    word: texts.join("\n"),
    settings: { count_in: 0, address: `https://nowhere.invalid/"><img src=x onerror=window.pwned=1>` },
    parts: [
      {
        id: "one",
        name: `Viola ${together(texts)}`,
        marks: texts.flatMap((text, measure) => [
          { measure, kind: "words", text },
          { measure, kind: "dynamic", text: other(measure) },
        ]),
      },
      { id: "two", name: `Cello ${texts.at(-1)}` },
    ],
    road_map: {
      measures: texts.map((text, index) => ({
        label: number(text),
        ...(index === 0 && { meter: "4/4" }),
        tempo: [{ words: text, tempo: `quarter = ${100 + (index % 5)}` }],
        ...(index % 9 === 0 && { movement: text }),
        section: text,
        mark: other(index),
        ...(index === 4 && { segno: text, to_coda: text }),
        ...(index === 6 && { coda: text }),
      })),
    },
    tips: texts.map((text, measure) => ({
      id: `tip-${measure}`,
      spot: { from: { measure } },
      topic: "note",
      text,
      cue: text,
      watch: { seconds: 5, address: measure % 2 ? text : `https://nowhere.invalid/${text}` },
    })),
    todos: texts.map((text, measure) => ({ id: `to-do-${measure}`, text, spot: { from: { measure } } })),
  };
}
