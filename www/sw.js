// Keeps the hosted page in this browser, so that it opens without the network.
//
// `cargo xtask build` puts the page's SHA-256 in place of PAGE_HASH: a page that differs in one
// byte makes another worker, and that one fetches the new page, checks that it is the one it was
// built with, and only then takes the old one's place. The plans lie in the browser's store and
// are not touched.

const HASH = "PAGE_HASH";
const CACHE = `battenbook-${HASH}`;
const PAGE = "battenbook.html";
const BESIDE = BESIDE_FILES;

const hash = async (bytes) => {
  const digest = await crypto.subtle.digest("SHA-256", bytes);
  return [...new Uint8Array(digest)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
};

const fetched = async (name) => {
  const response = await fetch(new Request(name, { cache: "reload" }));
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  return { bytes: await response.arrayBuffer(), type: response.headers.get("Content-Type") };
};

// Not the server's own answer: one that came by way of a redirect could not be shown as the page.
const answer = ({ bytes, type }) => new Response(bytes, { headers: { "Content-Type": type } });

addEventListener("install", (event) => {
  event.waitUntil((async () => {
    const page = await fetched(PAGE);
    // Half a deployment must not be kept: the browser tries again at the next visit.
    if ((await hash(page.bytes)) !== HASH) throw new Error("the page is not the one of this worker");
    const cache = await caches.open(CACHE);
    await cache.put(PAGE, answer(page));
    for (const name of BESIDE) await cache.put(name, answer(await fetched(name)));
    await skipWaiting();
  })());
});

addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("battenbook-") && name !== CACHE) await caches.delete(name);
    }
    await clients.claim();
  })());
});

addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  const name = url.href.slice(new URL("./", location).href.length).split(/[?#]/)[0];
  const known = ["", PAGE, ...BESIDE].includes(name);
  if (event.request.method !== "GET" || url.origin !== location.origin || !known) return;
  event.respondWith((async () => {
    const cache = await caches.open(CACHE);
    return (await cache.match(name || PAGE)) ?? fetch(event.request);
  })());
});
