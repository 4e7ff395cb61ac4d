// A web server for a folder on this machine, as a school's page would be.

import { existsSync, readFileSync } from "node:fs";
import { createServer } from "node:http";
import { extname, join } from "node:path";

const TYPES = {
  ".html": "text/html; charset=utf-8",
  ".js": "text/javascript",
  ".css": "text/css",
  ".wasm": "application/wasm",
  ".svg": "image/svg+xml",
  ".png": "image/png",
  ".webmanifest": "application/manifest+json",
};

/** Serves a folder below a path, as a school's page would be; gives its address, the paths asked
    for so far, how to put another folder in its place, and how to end it. */
export async function serveFolder(root, below = "/") {
  const asked = [];
  let folder = root;
  const server = createServer((request, response) => {
    const pathname = decodeURIComponent(new URL(request.url, "http://localhost").pathname);
    asked.push(pathname);
    const path = join(folder, pathname.slice(below.length), pathname.endsWith("/") ? "index.html" : "");
    if (!pathname.startsWith(below) || !existsSync(path)) return response.writeHead(404).end();
    response.setHeader("Content-Type", TYPES[extname(path)] ?? "application/octet-stream");
    return response.end(readFileSync(path));
  });
  await new Promise((done) => server.listen(0, "127.0.0.1", done));
  // A test that failed must not keep its process waiting.
  server.unref();
  return {
    address: `http://127.0.0.1:${server.address().port}${below}`,
    asked,
    turnTo(other) {
      folder = other;
    },
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
