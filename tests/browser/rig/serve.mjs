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
  ".webmanifest": "application/manifest+json",
};

/** Serves a folder; gives its address, the paths asked for so far, and how to end it. */
export async function serveFolder(root) {
  const asked = [];
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url, "http://localhost");
    asked.push(pathname);
    const path = join(root, decodeURIComponent(pathname));
    if (!existsSync(path) || pathname.endsWith("/")) return response.writeHead(404).end();
    response.setHeader("Content-Type", TYPES[extname(path)] ?? "application/octet-stream");
    return response.end(readFileSync(path));
  });
  await new Promise((done) => server.listen(0, "127.0.0.1", done));
  return {
    address: `http://127.0.0.1:${server.address().port}/`,
    asked,
    close() {
      server.closeAllConnections();
      server.close();
    },
  };
}
