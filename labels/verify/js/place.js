// Where the page was opened from: whoever gives it out could have changed it, and no
// page can vouch for itself.

import { latinOf } from "./bytes.js";
import { quotedOf, wordOf } from "./rows.js";

const CARD_ADDRESS = /^\s*https:\/\/([!"$-~]{1,253})\/v#/i;

// Gives what stands at the top: a file, or the host it came from.
export function placeWord({ protocol, host }) {
    return protocol === "file:" ? "offline copy" : host;
}

// Gives words on what the place is worth, and whether they are a warning. `shops` is
// the shop's own host, and a path where it has one; empty where it has none.
export function whenceWords({ protocol, host, pathname }, shops) {
    if (protocol === "file:") {
        return { isWarning: false, words: [quotedOf(
            "An offline copy: whoever gave you the file could have changed it.")] };
    }
    const from = "This page was opened from ";
    if (shops && !isUnder(`${host}${pathname}`, shops)) {
        return { isWarning: true, words: [
            wordOf(host, "data", ", and the shop’s own address is ", from),
            wordOf(shops, "data", ": do not rely on what it says."),
        ] };
    }
    return { isWarning: false, words: [wordOf(host, "data", ". Only the shop’s own " +
        "address, known to you from elsewhere, vouches for it.", from)] };
}

// Gives words where a card's text names another address than the shop's.
export function strangeHostWords(data, shops) {
    const found = CARD_ADDRESS.exec(latinOf(data.subarray(0, 300)));
    if (found === null || !shops || isUnder(`${found[1]}/`, shops)) {
        return [];
    }
    return [wordOf(found[1], "data", ", and the shop’s own is ",
        "The card names the address "),
    wordOf(shops, "data", ": ask the shop before you open it.")];
}

function isUnder(address, shops) {
    return address.toLowerCase().startsWith(`${shops.toLowerCase()}/`);
}
