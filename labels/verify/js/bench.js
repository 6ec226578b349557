// The bench: the keys and the status list that the page holds, what was opened last,
// and whose turn it is.

import { base64Bytes } from "./bytes.js";
import { check } from "./check.js";
import { sayingOf, wordOf } from "./rows.js";
import { showKeys } from "./show.js";
import { wordsOfKeys } from "./tell.js";

// What lies on the bench. A newer turn makes an older one's answer void.
export const bench = { maker: "", host: "", own: null, keys: null, isAdded: false,
    list: null, waiting: null, data: null, photographs: [], canCheck: false, turn: 0,
    isReading: false };

// Gives what the words need to know besides the answer.
export function aboutBench() {
    return { hasKeys: bench.keys !== null, isStrange: bench.own === null,
        isAdded: bench.isAdded, canCheck: bench.canCheck,
        today: new Date().toISOString().slice(0, 10) };
}

// Puts a keys file that holds on the bench, and gives words on it. A shop's own page
// takes only a later one of the same log: a stranger's would make it say YES for a
// stranger, and one by roots that were changed since, for whoever stole them.
export function addKeys(data, keys) {
    const own = bench.own;
    if (own !== null && !goesOnFrom(keys, own.keys)) {
        return [wordOf(keys.origin, "data", ".", "That keys file is of another log, "),
            wordOf(own.keys.origin, "data", " and checks for no other shop.",
                " This page is of ")];
    }
    const held = bench.keys === null ? null : bench.keys.keys;
    const fault = held !== null && (own !== null || goesOnFrom(keys, held))
        ? faultInLater(keys, held) : "";
    if (fault) {
        return [sayingOf(fault)];
    }
    bench.keys = { data, keys };
    bench.isAdded = true;
    tellKeys();
    return own !== null ? [sayingOf("The newer keys file of this shop is added.")]
        : [wordOf(keys.origin, "data", " is added. It is worth as much as whoever " +
            "gave it to you: take it from the shop itself.",
        "The keys file of the log ")];
}

// Tells whether a keys file is of the same log as another, or of a next volume of it.
function goesOnFrom(keys, held) {
    return keys.names.includes(held.origin);
}

// Says why a keys file is no later one than that which is held. Its lineage goes on
// where the other's ends, and its tree is no smaller, and the same at the same size.
function faultInLater(keys, held) {
    // Nor does a next volume know which numbers lost keys files had.
    const isNext = keys.origin !== held.origin;
    if (!isNext && keys.number <= held.number) {
        return `That keys file is number ${keys.number}, and this page holds number ` +
            `${held.number}: nothing is newer in it.`;
    }
    const isLed = held.lineage.every((record, n) => record === keys.lineage[n]);
    if (!isLed) {
        return "This is not a later keys file of this shop: its roots do not follow.";
    }
    // It may be shorter, too: the newest entries of the older one are lost.
    const isGrown = isNext || keys.size > held.size ||
        (keys.size === held.size && keys.root === held.root);
    return isGrown ? ""
        : "This is not a later keys file of this shop: its log does not follow.";
}

// Shows which keys lie there.
export function tellKeys() {
    const { keys, isAdded } = bench;
    showKeys(keys === null ? []
        : wordsOfKeys(keys.keys, isAdded, aboutBench().today));
}

// Takes what the page was made with: the shop's keys file, and its name only with it.
export async function takeOwnKeys() {
    const { keys, maker, host } = document.body.dataset;
    if (keys) {
        const data = base64Bytes(keys);
        const answer = await check(data, null);
        if (answer.kind === "keys" && answer.keys !== null) {
            bench.own = bench.keys = { data, keys: answer.keys };
            bench.maker = maker;
            bench.host = host || "";
            const name = document.getElementById("maker");
            name.removeAttribute("data-say");
            name.textContent = maker;
        }
    }
}
