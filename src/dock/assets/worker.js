// Where a browser allows it (this machine, or a page over TLS) the pages that
// take entries open without the network too, as they were last seen; what is
// entered there waits like any entry.
const KEPT = "trayful-3";
const FILES = ["/style.css", "/wait.js", "/reach.js", "/dock.js", "/reading.js", "/scale.js", "/ticks.js", "/wire.js", "/icons.svg", "/icon.svg", "/hyperlegible.woff2", "/hyperlegible-bold.woff2"];
const PAGES = ["/", "/weigh", "/stock", "/tonight", "/harvest", "/discard", "/lot", "/money"];

addEventListener("install", (event) => event.waitUntil((async () => {
  await (await caches.open(KEPT)).addAll(FILES);
  await skipWaiting();
})()));
addEventListener("activate", (event) => event.waitUntil((async () => {
  for (const name of await caches.keys()) if (name !== KEPT) await caches.delete(name);
  await clients.claim();
})()));
async function asked(request, path) {
  const kept = await caches.open(KEPT);
  try {
    const answer = await fetch(request);
    // What led elsewhere, to the PIN for one, is not this page.
    if (answer.ok && !answer.redirected) await kept.put(path, answer.clone());
    if (answer.status === 401) await Promise.all(PAGES.map((page) => kept.delete(page)));
    return answer;
  } catch (error) {
    const before = await kept.match(path);
    if (before) return before;
    throw error;
  }
}
addEventListener("fetch", (event) => {
  const { pathname } = new URL(event.request.url);
  if (event.request.method === "GET" && [...FILES, ...PAGES].includes(pathname)) event.respondWith(asked(event.request, pathname));
});
