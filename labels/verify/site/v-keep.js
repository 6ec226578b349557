// Keeps the page that checks: whoever opened it once can open it with no network.
// It stands above the page, since cards point to the page without a slash at its end,
// and answers for the page's own files alone: all else of the site is none of its
// business, and goes by as if it were not there.
// The shop's site comes first, and what was kept only where it does not answer.

const KEPT = "flitchbook-page-that-checks";
const PLACE = self.registration.scope;
const PAGE = `${PLACE}/`;
const SAME = [PLACE, PAGE, `${PLACE}/index.html`];
const OWN = [...SAME, `${PLACE}/keys.json`, `${PLACE}/status.json`];
const LONGEST_WAIT = 4000;

self.addEventListener("install", (event) => {
    event.waitUntil(caches.open(KEPT).then((kept) => answered(PAGE, kept)));
    self.skipWaiting();
});

self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
    const { method, url } = event.request;
    const name = url.split(/[?#]/)[0];
    if (method === "GET" && OWN.includes(name)) {
        const asked = SAME.includes(name) ? PAGE : name;
        event.respondWith(caches.open(KEPT).then((kept) => answered(asked, kept)));
    }
});

// Gives the site's answer, and keeps it; what was kept, where the site is late or gone.
async function answered(name, kept) {
    try {
        const signal = AbortSignal.timeout(LONGEST_WAIT);
        const answer = await fetch(name, { signal, cache: "no-cache" });
        if (answer.ok && (answer.url === name || isSame(name, answer.url))) {
            const whole = await plain(answer);
            await kept.put(name, whole.clone());
            return whole;
        }
        return (await kept.match(name)) || shown(answer);
    } catch (fault) {
        const found = await kept.match(name);
        if (found === undefined) throw fault;
        return found;
    }
}

// Some hosts lead from one of the page's addresses to another.
function isSame(name, address) {
    return name === PAGE && SAME.includes(address);
}

// A page is not given out under another's address, so a browser is sent there itself.
function shown(answer) {
    return answer.redirected ? Response.redirect(answer.url) : answer;
}

// Gives an answer without the way it took, which a browser would refuse.
async function plain(answer) {
    const { status, headers } = answer;
    return new Response(await answer.blob(), { status, headers });
}
