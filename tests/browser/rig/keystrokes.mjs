// How long a person takes for a scripted run: the keystroke-level model.
//
// Source: Card, Moran, Newell, "The keystroke-level model for user performance time with
// interactive systems", Communications of the ACM 23 (1980), from memory: K 0.28 s for an average
// typist who is no secretary, P 1.1 s, H 0.4 s, M 1.35 s, R as measured. On glass a letter takes
// 0.33 s: 36 words of five letters a minute, the average of Palin et al., "How do people type on
// mobile devices?" (2019), from memory.

export const SECONDS = { key: 0.28, glass: 0.33, point: 1.1, home: 0.4, mental: 1.35 };

/** Starts to count for a page; `glass` tells that letters are typed with thumbs on a screen. */
export function counting(page, { glass = false } = {}) {
  const counts = { key: 0, glass: 0, point: 0, home: 0, mental: 0 };
  const parts = new Map();
  let answered = 0;
  let part = "";

  const add = (kind, times = 1) => {
    counts[kind] += times;
    parts.set(part, (parts.get(part) ?? 0) + times * SECONDS[kind]);
  };
  /** Does something and measures how long the page takes to show what follows from it. */
  async function answer(act) {
    const before = performance.now();
    await act();
    await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => setTimeout(done))));
    const seconds = (performance.now() - before) / 1000;
    answered += seconds;
    parts.set(part, (parts.get(part) ?? 0) + seconds);
  }

  return {
    /** Names the part of the run to which the time that follows belongs. */
    part(name) {
      part = name;
    },
    /** Thinks: what comes next, or what a word shall be. */
    think(times = 1) {
      add("mental", times);
    },
    /** Puts the hands on the keys. */
    home() {
      add("home");
    },
    /** Moves the page with a finger; a way of the hand. */
    swipe() {
      add("point");
    },
    /** Presses a key or keys together, each of which counts, so many times. */
    async press(keys, times = 1) {
      for (let time = 0; time < times; time += 1) {
        add("key", keys.split("+").length);
        await answer(() => page.keyboard.press(keys));
      }
    },
    /** Types a text; a capital letter takes Shift as well, which a screen keyboard has on its own
        where a sentence begins. */
    async type(text) {
      const shifts = glass ? 0 : [...text].filter((letter) => /[\p{Lu}"(+:?!]/u.test(letter)).length;
      add(glass ? "glass" : "key", text.length + shifts);
      await answer(() => page.keyboard.type(text));
    },
    /** Makes up words and types them: a thought for each word. */
    async compose(text) {
      add("mental", text.split(/\s+/).length);
      await this.type(text);
    },
    /** Taps with a finger: a way to it and the tap. */
    async tap(selector) {
      add("point");
      add("key");
      await answer(() => page.locator(selector).first().tap());
    },
    /** Chooses from a list: a tap opens the browser's own list, another one chooses. */
    async choose(selector, value) {
      add("point", 2);
      add("key", 2);
      await answer(() => page.locator(selector).first().selectOption(value));
    },
    /** Gives the sum, its parts and the counts, in seconds. */
    sum() {
      const rounded = (value) => Math.round(value * 10) / 10;
      const own = Object.entries(counts).map(([kind, times]) => [kind, times * SECONDS[kind]]);
      const total = own.reduce((all, [, seconds]) => all + seconds, answered);
      return {
        total,
        lines: [
          `${rounded(total / 60)} min in all`,
          ...own.filter(([, seconds]) => seconds > 0).map(([kind, seconds]) => `${kind}: ${counts[kind]} × ${SECONDS[kind]} s = ${rounded(seconds)} s`),
          `answers of the page, measured: ${rounded(answered)} s`,
          ...[...parts].map(([name, seconds]) => `${name}: ${rounded(seconds)} s`),
        ],
      };
    },
  };
}
