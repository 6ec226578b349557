// The status list on the bench: which one counts, and what it says of a certificate.

import { bench } from "./bench.js";
import { Fault, base64Bytes, bytesOf, hexOf } from "./bytes.js";
import { sha256 } from "./crypt.js";
import { readKeysFile } from "./keysfile.js";
import { rememberList, seenList } from "./memory.js";
import { quotedOf, sayingOf } from "./rows.js";
import { showList } from "./show.js";
import { wordsOfList } from "./standing.js";
import { readStatusList, requireVouched, signsLists, statesOf } from "./status.js";

// Takes a list that was opened, or that lies in the page, and gives words on it. One
// that does not hold counts as none; a keys file that comes later may vouch for it.
export async function addList(data, isOwn) {
    bench.waiting = data;
    const fault = bench.keys === null
        ? "it waits until the shop’s keys file is here"
        : await faultInTaking(data, isOwn);
    tellList();
    if (fault) {
        const whose = isOwn ? "The status list in this page is not used: "
            : "That status list is not used: ";
        return [quotedOf(fault, whose, ".")];
    }
    return isOwn ? [] : [sayingOf(
        `Status list ${bench.list.list.number} of this shop is added.`)];
}

// Judges again, by the keys that came, the list that is held or that waits for them.
export async function judgeListAgain() {
    const held = bench.list;
    bench.list = null;
    for (const one of [held, bench.waiting && { data: bench.waiting, isOwn: false }]) {
        if (one) {
            await faultInTaking(one.data, one.isOwn);
        }
    }
    tellList();
}

// Takes the list that the page was made with.
export async function takeOwnList() {
    const data = base64Bytes(document.body.dataset.status || "");
    return data === null || data.length === 0 ? [] : addList(data, true);
}

// Gives what is known of a certificate besides that it was signed: null where a paper
// is of no certificate, else the list, or that there is none, and its states there.
export function standingOf({ word, listed }) {
    if (word !== "YES" || listed === null) {
        return null;
    }
    const list = bench.list && bench.list.list;
    return { list, states: list === null ? [] : statesOf(list, listed) };
}

// Shows which list is held.
export function tellList() {
    const { list, keys } = bench;
    const today = new Date().toISOString().slice(0, 10);
    showList(keys === null ? [] : wordsOfList(list, today));
}

async function faultInTaking(data, isOwn) {
    try {
        const keys = await readKeysFile(bench.keys.data);
        const list = await readStatusList(data);
        await requireVouched(list, keys);
        const shop = await shopOf(keys);
        const seen = seenList(shop);
        requireNewest(list, seen && signsLists(seen.key, keys) ? seen : null);
        requireNewest(list, bench.list && bench.list.list);
        rememberList(shop, list);
        bench.list = { data, list, isOwn };
        bench.waiting = null;
        return "";
    } catch (fault) {
        if (!(fault instanceof Fault)) throw fault;
        return fault.message;
    }
}

// A shop is known by its founding: anybody can found another under the same name, and
// would else make this page refuse the true shop's lists.
async function shopOf(keys) {
    const founding = await sha256(bytesOf(keys.lineage[0]));
    return `${keys.origin} ${hexOf(founding).slice(0, 16)}`;
}

function requireNewest(list, seen) {
    if (seen === null) {
        return;
    }
    if (list.number < seen.number) {
        throw new Fault(
            `list ${list.number} is older than list ${seen.number}, which this page ` +
                `has seen`,
        );
    }
    if (list.number === seen.number && list.digest !== seen.digest) {
        throw new Fault(
            `list ${list.number} says otherwise than the list ${seen.number} which ` +
                `this page has seen: ask the shop`,
        );
    }
}
