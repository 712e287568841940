// Keeps the station's page and the files it is drawn with, so that it opens while the network is gone. Acts are not
// its business: the page keeps them itself. FILES and PAGE stand above, as the server told them.
const KEPT = "bedwright-floor";
const PATIENCE = 4000; // ms before the kept page is shown in place of one that does not come

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(FILES)).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(forgetOld().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const at = new URL(event.request.url);
  if (event.request.method !== "GET" || at.origin !== self.location.origin) return;
  if (at.pathname === PAGE && event.request.mode === "navigate") event.respondWith(page(event.request));
  else if (at.pathname.startsWith("/static/")) event.respondWith(file(event.request));
});

async function forgetOld() {
  const kept = await caches.open(KEPT);
  for (const request of await kept.keys()) {
    const at = new URL(request.url);
    const file = FILES.some((one) => one.split("?")[0] === at.pathname);
    if (file && !FILES.includes(at.pathname + at.search)) await kept.delete(request);
  }
}

async function page(request) {
  const kept = await caches.open(KEPT);
  try {
    const came = await fetch(request, { signal: AbortSignal.timeout(PATIENCE) });
    if (came.type === "opaqueredirect" || came.redirected) await kept.delete(PAGE); // shut out: nothing is left behind
    else if (came.ok) await kept.put(PAGE, came.clone());
    else if (came.status >= 500) return (await kept.match(PAGE)) || came;
    return came;
  } catch (gone) {
    const before = await kept.match(PAGE);
    if (before) return before;
    throw gone;
  }
}

async function file(request) {
  const kept = await caches.open(KEPT);
  const before = await kept.match(request);
  if (before && new URL(request.url).search) return before; // its address carries a sign of its content
  try {
    const came = await fetch(request);
    if (came.ok) await kept.put(request, came.clone());
    return came;
  } catch (gone) {
    if (before) return before;
    throw gone;
  }
}
