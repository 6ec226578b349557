// The one thing that this page remembers: the newest status list it has seen of a shop,
// and the key that signed it: a number of whoever had a stolen key binds nobody later.
// A browser may forbid even that, and then the page remembers nothing.

const REMEMBERED = /^([1-9][0-9]{0,15}) ([0-9a-f]{16}) ([0-9a-f]{16})$/;

// Gives number and digest of the newest list that was seen, or null.
export function seenList(shop) {
    try {
        const found = REMEMBERED.exec(localStorage.getItem(placeOf(shop)) || "");
        return found &&
            { number: Number(found[1]), digest: found[2], key: found[3] };
    } catch {
        return null;
    }
}

// Remembers a list, for as long as the browser lets it.
export function rememberList(shop, { number, digest, key }) {
    try {
        localStorage.setItem(placeOf(shop), `${number} ${digest} ${key}`);
    } catch {
        // Private windows and full disks refuse it.
    }
}

function placeOf(shop) {
    return `flitchbook-status ${shop}`;
}
