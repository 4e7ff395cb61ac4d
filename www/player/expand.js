// The way back from LZMA: what is packed without a header, with lc = 3, lp = 0 and pb = 0. Source:
// I. Pavlov, LZMA specification (2015), from memory. Such a stream is an eighth
// smaller than the smallest DEFLATE, and these lines weigh a tenth of what that spares.

// Where each kind of probability begins in one table.
const IS_MATCH = 0;
const IS_REPEAT = 12;
const IS_OLDER = 24;
const IS_SECOND = 36;
const IS_THIRD = 48;
const IS_LONG = 60;
const LENGTH = 72;
const REPEAT_LENGTH = LENGTH + 274;
const SLOT = REPEAT_LENGTH + 274;
const SPECIAL = SLOT + 256;
const ALIGN = SPECIAL + 128;
const LITERAL = ALIGN + 16;

/** After so many bytes there is a pause, so that the page can be read and scrolled meanwhile. */
const SLICE = 512;

/** Gives so many bytes as they were before they were packed, a slice a step. */
export function* expanding(packed, size) {
  const bytes = new Uint8Array(size);
  const chances = new Uint16Array(LITERAL + 8 * 768).fill(1024);
  // The range and the code in it: in an array they stay numbers of 32 bits.
  const now = new Uint32Array([0xffffffff, 0]);
  // The first byte of a stream is always nought.
  let at = 1;
  while (at < 5) now[1] = (now[1] << 8) | packed[at++];

  const narrowed = () => {
    if (now[0] < 0x1000000) {
      now[0] <<= 8;
      now[1] = (now[1] << 8) | packed[at++];
    }
  };
  const bit = (index) => {
    const chance = chances[index];
    const bound = (now[0] >>> 11) * chance;
    const one = now[1] >= bound;
    if (one) {
      now[0] -= bound;
      now[1] -= bound;
      chances[index] -= chance >> 5;
    } else {
      now[0] = bound;
      chances[index] += (2048 - chance) >> 5;
    }
    narrowed();
    return +one;
  };
  // So many bits, the highest first.
  const tree = (from, count) => {
    let node = 1;
    for (let left = count; left > 0; left -= 1) node = (node << 1) | bit(from + node);
    return node - (1 << count);
  };
  // So many bits, the lowest first.
  const reversed = (from, count) => {
    let node = 1;
    let value = 0;
    for (let place = 0; place < count; place += 1) {
      const one = bit(from + node);
      node = (node << 1) | one;
      value |= one << place;
    }
    return value;
  };
  const even = (count) => {
    let value = 0;
    for (let left = count; left > 0; left -= 1) {
      now[0] >>>= 1;
      const one = now[1] >= now[0];
      if (one) now[1] -= now[0];
      value = (value << 1) | one;
      narrowed();
    }
    return value;
  };
  const length = (from) => {
    if (!bit(from)) return tree(from + 2, 3);
    return bit(from + 1) ? 16 + tree(from + 18, 8) : 8 + tree(from + 10, 3);
  };

  let state = 0;
  let back = [0, 0, 0, 0];
  let done = 0;
  const literal = () => {
    const from = LITERAL + 768 * (done && bytes[done - 1] >> 5);
    let value = 1;
    if (state > 6) {
      // After a match its next byte is the likely one, as far as it holds.
      let likely = bytes[done - back[0] - 1];
      let expected;
      do {
        expected = (likely >> 7) & 1;
        likely <<= 1;
        value = (value << 1) | bit(from + ((1 + expected) << 8) + value);
      } while ((value & 1) === expected && value < 256);
    }
    while (value < 256) value = (value << 1) | bit(from + value);
    bytes[done++] = value;
    state = state < 4 ? 0 : state - (state < 10 ? 3 : 6);
  };
  const distance = (long) => {
    const slot = tree(SLOT + 64 * Math.min(long, 3), 6);
    if (slot < 4) return slot;
    const count = (slot >> 1) - 1;
    const base = (2 | (slot & 1)) << count;
    if (slot < 14) return base + reversed(SPECIAL + base - slot, count);
    return base + (even(count - 4) << 4) + reversed(ALIGN, 4);
  };
  const copied = (long) => {
    for (let end = done + long; done < end; done += 1) bytes[done] = bytes[done - back[0] - 1];
  };

  let pause = SLICE;
  while (done < size) {
    if (done > pause) {
      pause = done + SLICE;
      yield;
    }
    if (!bit(IS_MATCH + state)) {
      literal();
    } else if (!bit(IS_REPEAT + state)) {
      const long = length(LENGTH);
      state = state < 7 ? 7 : 10;
      back = [distance(long), ...back.slice(0, 3)];
      copied(long + 2);
    } else {
      const which = !bit(IS_OLDER + state) ? 0 : !bit(IS_SECOND + state) ? 1 : 2 + bit(IS_THIRD + state);
      if (which || bit(IS_LONG + state)) {
        back.unshift(...back.splice(which, 1));
        const long = length(REPEAT_LENGTH);
        state = state < 7 ? 8 : 11;
        copied(long + 2);
      } else {
        state = state < 7 ? 9 : 11;
        copied(1);
      }
    }
  }
  return bytes;
}
