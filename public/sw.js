// Keeps the page for where there is no signal. One version of the page has one store; nothing is ever
// added to it later, so whatever a captive portal answers cannot get in.

"use strict";

const VERSION = "{{version}}";
const SEAL = "{{seal}}";
const FILES = {{files}};

// Several networks may live under one address; each keeps to its own stores.
const PREFIX = `leanyear ${self.registration.scope} `;
const STORE = PREFIX + VERSION;
const PAGE = new URL("./", self.registration.scope).href;
const INDEX = new URL("index.html", self.registration.scope).href;
const KEPT = new Set(FILES.map((path) => new URL(path, self.registration.scope).href));

self.addEventListener("install", (event) => event.waitUntil(keep()));
self.addEventListener("activate", (event) => event.waitUntil(takeOver()));
self.addEventListener("message", (event) => {
  if (event.data === "skip-waiting") self.skipWaiting();
});
self.addEventListener("fetch", (event) => {
  const wanted = wantedFile(event.request);
  if (wanted) event.respondWith(fromStore(wanted, event.request));
});

async function keep() {
  const page = await fetch(new Request(PAGE, { cache: "reload" }));
  const text = await page.text();
  if (!page.ok || !text.includes(SEAL)) throw new Error("what answers is not this page");
  const store = await caches.open(STORE);
  // A fresh response: one that came by way of a redirect may not answer a navigation.
  await store.put(PAGE, new Response(text, { headers: { "Content-Type": "text/html; charset=utf-8" } }));
  await Promise.all([...KEPT].map((address) => keepFile(store, address)));
}

// The page works without these, so one that is missing does not stop the page from being kept.
async function keepFile(store, address) {
  try {
    const response = await fetch(new Request(address, { cache: "reload" }));
    const kind = response.headers.get("Content-Type") || "";
    if (response.ok && !response.redirected && !kind.startsWith("text/html")) await store.put(address, response);
  } catch {
    // No signal any more: the page itself is kept already.
  }
}

async function takeOver() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => name.startsWith(PREFIX) && name !== STORE).map((name) => caches.delete(name)));
  await self.clients.claim();
}

function wantedFile(request) {
  if (request.method !== "GET") return null;
  const address = new URL(request.url);
  address.search = "";
  address.hash = "";
  if (address.href === PAGE || address.href === INDEX) return PAGE;
  return KEPT.has(address.href) ? address.href : null;
}

async function fromStore(wanted, request) {
  const store = await caches.open(STORE);
  return (await store.match(wanted)) || fetch(request);
}
