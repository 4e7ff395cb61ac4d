// Keeps the pages of one build on this device, so that later visits need no network.
//
// All files of a build are fetched anew before any of them is used, under a name that is theirs
// alone: a page never meets the files of two builds. A newer build waits until no page of the older
// is open; then the older is thrown away. Only the files in the list are ever answered from here.
const FILES = ["FILES"];
// Several copies may live at one origin, each in a folder of its own.
const HOME = new URL("./", self.location.href);
const OURS = `cueleaf ${HOME.pathname} `;
const BUILD = `${OURS}BUILD`;

/** Gives the listed file that an address stands for, if any. */
function fileOf(address) {
  const url = new URL(address);
  if (url.origin !== HOME.origin || !url.pathname.startsWith(HOME.pathname)) return undefined;
  const path = url.pathname.slice(HOME.pathname.length) || "index.html";
  return FILES.includes(path) ? path : undefined;
}

// An answer that came by another address may not be shown as a page; its copy may.
async function plain(response) {
  if (!response.redirected) return response;
  const { status, statusText, headers } = response;
  return new Response(await response.blob(), { status, statusText, headers });
}

async function keep() {
  const cache = await caches.open(BUILD);
  await Promise.all(
    FILES.map(async (path) => {
      const response = await fetch(path, { cache: "reload" });
      if (!response.ok) throw new Error(`${path}: ${response.status}`);
      await cache.put(path, await plain(response));
    }),
  );
}

async function clear() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(OURS) && name !== BUILD);
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function answer(path, request) {
  const cache = await caches.open(BUILD);
  return (await cache.match(path)) ?? fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(clear()));
self.addEventListener("fetch", (event) => {
  const path = event.request.method === "GET" ? fileOf(event.request.url) : undefined;
  if (path) event.respondWith(answer(path, event.request));
});
