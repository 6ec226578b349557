// Keeps the page that checks: whoever opened it once can open it with no network.
// The shop's site comes first, and what was kept only where it does not answer.

const KEPT = "flitchbook-page-that-checks";
const OWN = ["./", "index.html", "keys.json", "status.json"]
    .map((name) => new URL(name, self.registration.scope).href);
const LONGEST_WAIT = 4000;

self.addEventListener("install", (event) => {
    event.waitUntil(caches.open(KEPT).then((kept) => kept.add(OWN[0])));
    self.skipWaiting();
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
    const { method, url } = event.request;
    if (method === "GET" && OWN.includes(url.split(/[?#]/)[0])) {
        event.respondWith(answered(event.request));
    }
});

// Gives the site's answer, and keeps it; what was kept, where the site is late or gone.
async function answered(request) {
    const kept = await caches.open(KEPT);
    const name = request.url.split(/[?#]/)[0];
    try {
        const signal = AbortSignal.timeout(LONGEST_WAIT);
        const answer = await fetch(name, { signal, cache: "no-cache" });
        if (answer.ok) {
            // A page whose way was redirected is not given out under another's address.
            if (!answer.redirected) await kept.put(name, answer.clone());
            return answer;
        }
        return (await kept.match(name)) || answer;
    } catch (fault) {
        const found = await kept.match(name);
        if (found === undefined) throw fault;
        return found;
    }
}
