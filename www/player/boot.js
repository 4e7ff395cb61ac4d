// Brings an exported guide to life: takes the module and the guide from start.js, and starts it. Where a step is impossible the page stays what it is without scripts.
//
// What the page offers to others:
// - window.cueleaf.clicksInto(context, from, to): queues the clicks of what Play would play now
//   (place, pace, count-in and loop as chosen in the page) into any BaseAudioContext, those from
//   one second of it up to another; gives their seconds in that context. Tests render them with
//   an OfflineAudioContext.
// - In a frame, the parent (and nobody else) may send {cueleaf: "connect"} with a MessagePort. The
//   page answers {kind: "ready"} on it and takes {kind: "guide", pieces, guide, words}. Each piece
//   is [first, last, html]: the selectors of neighbours in the rooms to read, and what the views
//   draw in their place; the views that only a preview would need are not carried to every phone.
//   With them, or later, comes the state of the guide to play: its saved form, and its words (a
//   list of texts as JSON).
// - On the same port it takes {kind: "go-to", measure: "32"}, a printed number, and tells
//   {kind: "at", measure, section?} once it is there and with every measure while it plays, or
//   {kind: "error", code: "no-such-measure"}. README.md describes this for pages around a guide.
import init, { start, replaceGuide, clicksInto, goTo } from "cueleaf-glue";

// Whatever goes wrong: back to the page that can be read, with a word about it.
function trouble(error) {
  console.error(error);
  document.documentElement.classList.remove("live");
  document.getElementById("trouble").hidden = false;
}

// The port of the parent that connected last.
let port;

function connect(event) {
  if (event.source !== window.parent || event.data?.cueleaf !== "connect" || !event.ports[0]) return;
  [port] = event.ports;
  port.onmessage = ({ data }) => {
    try {
      if (data?.kind === "go-to" && !goTo(`${data.measure}`)) {
        port.postMessage({ kind: "error", code: "no-such-measure" });
      }
      if (data?.kind !== "guide") return;
      for (const [first, last, html] of data.pieces ?? []) {
        const old = document.createRange();
        const end = document.querySelector(last);
        old.setStartBefore(document.querySelector(first));
        old.setEndAfter(end);
        end.insertAdjacentHTML("afterend", html);
        old.deleteContents();
      }
      if (data.guide) replaceGuide(data.guide, data.words);
    } catch (error) {
      console.error(error);
    }
  };
  port.postMessage({ kind: "ready" });
}

async function begin() {
  const [module, guide, words] = window.cueleafParts;
  delete window.cueleafParts;
  await init({ module_or_path: module });
  start(guide, words);
  window.cueleaf = { clicksInto };
  addEventListener("error", (event) => trouble(event.error ?? event.message));
  addEventListener("unhandledrejection", (event) => trouble(event.reason));
  if (window.parent === window) return;
  addEventListener("message", connect);
  addEventListener("cueleaf-at", ({ detail }) => port?.postMessage({ kind: "at", ...detail }));
}

begin().catch(trouble);
