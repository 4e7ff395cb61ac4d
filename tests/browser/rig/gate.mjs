// A proxy that lets nothing through and remembers what was asked: whoever wants to leave the
// machine through a browser under test is seen here, whatever the engine's own log says. What a test
// serves on this machine is passed on: some engines ask the proxy for that, too.

import { createServer, request as ask } from "node:http";

const HERE = /^http:\/\/127\.0\.0\.1:\d+\//;

function passOn({ method, url, headers }, response) {
  const asked = ask(url, { method, headers }, (answer) => {
    response.writeHead(answer.statusCode, answer.headers);
    answer.pipe(response);
  });
  asked.on("error", () => response.writeHead(502).end());
  asked.end();
}

/** Opens the gate; gives its port, the requests so far, and how to close it. */
export async function openGate() {
  const requests = [];
  const server = createServer((request, response) => {
    if (HERE.test(request.url)) return passOn(request, response);
    requests.push(`${request.method} ${request.url}`);
    return response.writeHead(502).end();
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
