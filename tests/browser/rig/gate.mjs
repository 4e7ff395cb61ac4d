// A proxy that lets nothing through and remembers what was asked: whoever wants to leave the
// machine through a browser under test is seen here, whatever the engine's own log says.

import { createServer } from "node:http";

/** Opens the gate; gives its port, the requests so far, and how to close it. */
export async function openGate() {
  const requests = [];
  const server = createServer((request, response) => {
    requests.push(`${request.method} ${request.url}`);
    response.writeHead(502).end();
  });
  server.on("connect", (request, socket) => {
    requests.push(`CONNECT ${request.url}`);
    socket.on("error", () => {});
    socket.end("HTTP/1.1 502 Bad Gateway\r\n\r\n");
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", resolve));
  server.unref();
  return { port: server.address().port, requests, close: () => server.close() };
}
