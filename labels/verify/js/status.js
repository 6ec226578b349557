// The status list: which certificates were superseded, withdrawn or reported since.
// Source: the form flitchbook-status/1.

import { Fault, hexBytes, hexOf } from "./bytes.js";
import { hasSigned, sha256 } from "./crypt.js";
import { isDay, signatureBytes } from "./entry.js";
import { canonical, hasExactly, isCount, parseObject } from "./json.js";
import { spanCovers } from "./lineage.js";
import { beginsWith } from "./pdf.js";

const STATUS_FORMAT = "flitchbook-status/1";
const LARGEST_LIST = 1048576;
const LIST_START = '{"certificates":';
const LIST_MEMBERS = [
    "certificates", "format", "issued", "key", "next", "number", "origin", "signature",
    "size",
];
const STATES = ["reported", "superseded", "withdrawn"];

// Tells whether bytes begin like a status list.
export function isStatusList(data) {
    return beginsWith(data, LIST_START);
}

// Gives what a list says, by what it names each certificate; refuses what is not of
// the form.
export async function readStatusList(data) {
    if (data.length > LARGEST_LIST) {
        throw new Fault(`a status list has at most ${LARGEST_LIST} bytes`);
    }
    const members = parseObject(data);
    if (!hasExactly(members, LIST_MEMBERS) || members.format !== STATUS_FORMAT) {
        throw new Fault(`this is no ${STATUS_FORMAT}`);
    }
    const { issued, next, key, number, origin, size } = members;
    if (!isDay(issued) || !isDay(next) || next < issued) {
        throw new Fault("a status list says its day, and when the next is due");
    }
    if (!isCount(number, 1) || !isCount(size, 1)) {
        throw new Fault("a status list's number and size count from 1");
    }
    const signature = signatureBytes(members.signature);
    if (typeof origin !== "string" || hexBytes(key, 8) === null || !signature) {
        throw new Fault("a status list says its log, its key and a signature");
    }
    const { signature: _signature, ...rest } = members;
    return Object.freeze({
        issued, next, key, number, origin, size, signature,
        rows: statusRows(members.certificates), signed: canonical(rest),
        digest: hexOf(await sha256(data)).slice(0, 16),
    });
}

// Tells whether a key signs lists still. A list's size and day are its signer's word,
// so a card key that was ever disputed, or that ended, vouches for none.
export function signsLists(id, keys) {
    const known = keys.keys.get(id);
    return known?.purpose === "card" && spanCovers(known.span, keys.size) &&
        known.disputed === null;
}

// Refuses a list that this keys file does not vouch for.
export async function requireVouched(list, keys) {
    const known = keys.keys.get(list.key);
    const isOurs = list.origin === keys.origin && signsLists(list.key, keys) &&
        spanCovers(known.span, list.size);
    if (!isOurs) {
        throw new Fault(
            `status list ${list.number} cannot be judged by this keys file`,
        );
    }
    if (!(await hasSigned(known.raw, list.signed, list.signature))) {
        throw new Fault(
            `status list ${list.number} is not signed by key ${list.key}, which it ` +
                `names`,
        );
    }
}

// Gives by what a list names a certificate, out of the event that issued it.
export function listedBy(event) {
    return event.status_token_sha256.slice(0, 32);
}

// Gives by what a list names the certificate of a card.
export async function listedByToken(token) {
    return listedBy({ status_token_sha256: hexOf(await sha256(token)) });
}

// Gives the states of a certificate; none where it is not listed.
export function statesOf(list, listed) {
    return list.rows.get(listed) || [];
}

function statusRows(rows) {
    if (!Array.isArray(rows)) {
        throw new Fault("a status list is a list of certificates");
    }
    const found = new Map();
    let last = "";
    for (const row of rows) {
        if (!hasExactly(row, ["states", "token"]) || hexBytes(row.token, 16) === null) {
            throw new Fault("a row of a status list says a token and its states");
        }
        if (row.token <= last) {
            throw new Fault("a status list's tokens are sorted, each named once");
        }
        last = row.token;
        found.set(row.token, statesIn(row.states));
    }
    return found;
}

function statesIn(states) {
    const isSorted = Array.isArray(states) && states.length > 0 &&
        states.every((state, n) => STATES.includes(state) &&
            (n === 0 || states[n - 1] < state));
    if (!isSorted) {
        throw new Fault("a status list's states are known, sorted and each named once");
    }
    return states;
}
