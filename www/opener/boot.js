// Opens a link: what stands after the # becomes the exported page of a guide, whose content takes
// the place of this page's own and comes to life as it would in a file.
import init, { open } from "cueleaf-glue";

const text = (id) => document.getElementById(id).textContent;
const bytesOf = (id) => Uint8Array.from(atob(text(id)), (letter) => letter.charCodeAt(0));

// Says why nothing opens, where the guide would be. The text is ours; nothing in it is markup.
function refuse(sentences) {
  const place = document.createElement("div");
  place.id = "trouble-with-link";
  place.setAttribute("role", "alert");
  const title = document.createElement("h1");
  title.textContent = "This link does not open";
  const lines = sentences.split("\n").map((line) => {
    const paragraph = document.createElement("p");
    paragraph.textContent = line;
    return paragraph;
  });
  place.append(title, ...lines);
  document.getElementById("cueleaf").replaceChildren(place);
  document.title = title.textContent;
}

async function module() {
  const stream = new Blob([bytesOf("cueleaf-wasm")])
    .stream()
    .pipeThrough(new DecompressionStream("deflate-raw"));
  return new Response(stream).arrayBuffer();
}

// Takes the content of an exported page over. What is parsed does not run; start.js then does, as
// this page's policy names its hash.
function show(html, start) {
  const page = new DOMParser().parseFromString(html, "text/html");
  document.title = page.title;
  document.documentElement.lang = page.documentElement.lang;
  document.getElementById("cueleaf").replaceWith(document.adoptNode(page.getElementById("cueleaf")));
  for (const id of ["cueleaf-guide", "cueleaf-words", "cueleaf-packed"]) {
    const element = page.getElementById(id);
    if (element) document.body.append(document.adoptNode(element));
  }
  const script = document.createElement("script");
  script.textContent = start;
  document.body.append(script);
}

function offerFile(html, name) {
  document.getElementById("keep").hidden = false;
  document.getElementById("save").addEventListener("click", () => {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([html], { type: "text/html" }));
    link.download = name;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
  });
}

async function begin() {
  await init({ module_or_path: await module() });
  const { hash, href } = location;
  const opened = open(hash, href.split("#")[0]);
  const start = text("cueleaf-start");
  const { hash: liveHash } = document.getElementById("cueleaf-player").dataset;
  const html = opened.page(start, liveHash, text("cueleaf-style"), bytesOf("cueleaf-player"));
  show(html, start);
  offerFile(html, opened.name());
}

// Another link in the same tab is another guide.
addEventListener("hashchange", () => location.reload());

begin().catch((error) => {
  // A sentence of ours is a plain error; anything else is no word for a student.
  if (error?.constructor === Error) return refuse(error.message);
  console.error(error);
  return refuse(
    "Something went wrong while this link was opened.\nThis page needs a browser from 2023 or later. Ask your teacher for the guide as a file: it can be read in any browser.",
  );
});

// Later visits need no network.
if (location.protocol.startsWith("http")) navigator.serviceWorker?.register("sw.js").catch(() => {});
