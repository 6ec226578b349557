// What the shop's keys file says of a record or a card, one question after the other.

import { CANNOT_TELL, NO, YES } from "./answer.js";
import { Fault, sameBytes } from "./bytes.js";
import { hasSigned } from "./crypt.js";
import { ISSUED_KIND } from "./issued.js";
import { closedAfter, isDisputedAt, logKeysAt, originAt, wasLead } from "./keysfile.js";
import { spanCovers } from "./lineage.js";
import { requireSigned } from "./note.js";

// Gives the word and the reason for a record that is whole in itself.
export async function recordAgainstKeys(about, keys) {
    for (const step of RECORD_STEPS) {
        const found = await step(about, keys);
        if (found !== null) return found;
    }
    return [YES, about.done];
}

// Gives the word and the reason for a card.
export async function cardAgainstKeys({ key, signed, signature, claims }, keys) {
    const { index } = claims;
    const known = keys.keys.get(key);
    if (known === undefined) {
        // A card names no log, so another shop's card looks just like a false one.
        const reason =
            `key ${key} is none of the keys in the keys file of ${keys.origin}: this ` +
            `is another shop's card, or a false one`;
        return [CANNOT_TELL, reason];
    }
    if (known.purpose !== "card" || !(await hasSigned(known.raw, signed, signature))) {
        return [NO, `the card is not signed by a card key ${key} of the shop`];
    }
    if (index >= keys.size) {
        const reason = `entry ${index} is newer than this keys file of ${keys.date}`;
        return [CANNOT_TELL, reason];
    }
    const { disputed } = known;
    if (disputed !== null) {
        // A card bears its certificate's index and no time of its own: whoever had the
        // key could have made it for any certificate that there is.
        const reason =
            `card key ${key} is disputed since entry ${disputed}, and a card does ` +
            `not say when it was signed: ask for the certificate's file`;
        return [CANNOT_TELL, reason];
    }
    const { until } = known.span;
    if (until !== null && index > until) {
        return [NO, `card key ${key} ended with entry ${until}, before entry ${index}`];
    }
    return [
        YES,
        "compare these facts with the card and with the instrument in your hand; " +
            "where the certificate says otherwise, the certificate decides",
    ];
}

function otherLog({ record, proof }, keys) {
    const { origin, index } = record.entry;
    const { head } = proof;
    const end = closedAfter(keys, head.origin);
    if (end !== null && head.size > end) {
        return [
            CANNOT_TELL,
            `the shop lost the newest entries of ${head.origin} and went on after ` +
                `${end} as ${keys.origin}; this is proved under ${head.size}: ask ` +
                `the shop for its last keys file of ${head.origin}`,
        ];
    }
    const isKnown = keys.log.some(({ key }) => key.name === head.origin);
    if (isKnown && origin === originAt(keys, index)) return null;
    const named = isKnown ? origin : head.origin;
    return [
        CANNOT_TELL,
        `this is of the log ${named} and the keys file of ${keys.origin}: ` +
            `a shop of the same name is another shop`,
    ];
}

function newerThanKeys({ record }, keys) {
    const { index } = record.entry;
    if (index < keys.size) return null;
    return [
        CANNOT_TELL,
        `entry ${index} is newer than this keys file of ${keys.date}, which speaks ` +
            `for ${keys.size} entries: get a newer one`,
    ];
}

async function headUnsigned({ proof }, keys) {
    const { head, note } = proof;
    try {
        await requireSigned(note, logKeysAt(keys, head.size));
    } catch (fault) {
        if (!(fault instanceof Fault)) throw fault;
        return [NO, `the shop's log did not sign this checkpoint: ${fault.message}`];
    }
    if (head.size === keys.size && !sameBytes(head.root, keys.root)) {
        return [NO, "the log has another root at this size than the keys file says"];
    }
    return null;
}

async function signerUnknown({ record }, keys) {
    const { key, event } = record.entry;
    const known = keys.keys.get(key);
    if (known === undefined) {
        return [NO, `it is signed by key ${key}, which is none of the shop's`];
    }
    const signs = event.kind === ISSUED_KIND ? ["person"] : ["person", "root"];
    if (!signs.includes(known.purpose)) {
        return [NO, `it is signed by key ${key}, which is for ${known.purpose} only`];
    }
    if (!(await hasSigned(known.raw, record.signed, record.signature))) {
        return [NO, `the signature does not fit key ${key}`];
    }
    return null;
}

function signerNotEntitled({ record }, keys) {
    const { key, index, event } = record.entry;
    const known = keys.keys.get(key);
    const { span, disputed } = known;
    if (!spanCovers(span, index)) {
        const ended = span.until === null ? "on" : `until entry ${span.until}`;
        return [
            NO,
            `key ${key} counted from entry ${span.from} ${ended}, and this is entry ` +
                `${index}: the key was superseded or not yet there`,
        ];
    }
    if (event.kind === ISSUED_KIND && !wasLead(known, index)) {
        return [NO, `the signer was no lead at entry ${index}`];
    }
    if (!isDisputedAt(known, index)) return null;
    return [
        CANNOT_TELL,
        `what key ${key} said since entry ${disputed} is disputed: ask the shop`,
    ];
}

const RECORD_STEPS = [
    otherLog, newerThanKeys, headUnsigned, signerUnknown, signerNotEntitled,
];
