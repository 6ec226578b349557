// Checkpoints: the signed head of the tree, as a note.
// Source: C2SP signed-note and tlog-checkpoint (signature type 01, Ed25519).

import { Fault, base64Bytes, bytesOf, hexOf, joined, sameBytes } from "./bytes.js";
import { hasSigned, requireLargeOrder, sha256 } from "./crypt.js";

const ED25519_NOTE = 1;
const KEY_HASH_SIZE = 4;
const MOST_SIGNATURES = 100;
const LARGEST_NOTE = 65536;
const TREE_SIZE = /^(?:0|[1-9][0-9]{0,15})$/;
// Unicode's White_Space and the four separators of information, but no plus sign.
const SIGNER_NAME = new RegExp(
    "^[^+\\t-\\r\\x1c-\\x20\\x85\\xa0\\u1680\\u2000-\\u200a\\u2028\\u2029\\u202f" +
        "\\u205f\\u3000]+$",
);
const NOTE_CONTROL = /[\x00-\x09\x0b-\x1f]/;

// Tells whether a text can name a log or a signer: no space in it, and no plus sign.
export function isSignerName(text) {
    return SIGNER_NAME.test(text);
}

// Gives a verifier key, name+hash+base64 of type and key; refuses what is none.
export async function parseNoteKey(value) {
    const [name, hash, ...rest] = typeof value === "string" ? value.split("+") : [];
    const data = rest.length ? base64Bytes(rest.join("+")) : null;
    if (data === null || data[0] !== ED25519_NOTE || data.length !== 33) {
        throw new Fault("something is no Ed25519 verifier key of a note");
    }
    if (!isSignerName(name)) throw new Fault("a verifier key's name has no spaces");
    requireLargeOrder(data.subarray(1));
    const whole = await sha256(joined(bytesOf(`${name}\n`), data));
    const keyHash = whole.slice(0, KEY_HASH_SIZE);
    if (hexOf(keyHash) !== hash) {
        throw new Fault(`the verifier key of ${name} does not fit its hash`);
    }
    return Object.freeze({ name, keyHash, raw: data.slice(1) });
}

// Gives a note's text and its signature lines; refuses what is not of the form.
export function parseNote(note) {
    const end = note.lastIndexOf("\n\n");
    if (end < 1 || !note.endsWith("\n") || end + 2 === note.length) {
        throw new Fault("a note is a text, a blank line and signature lines");
    }
    if (NOTE_CONTROL.test(note) || lengthOf(note) > LARGEST_NOTE) {
        throw new Fault("a note holds no control characters and is not long");
    }
    const lines = note.slice(end + 2, -1).split("\n");
    if (lines.length > MOST_SIGNATURES) {
        throw new Fault(`a note has at most ${MOST_SIGNATURES} signatures`);
    }
    const signatures = lines.map(signatureLine);
    return Object.freeze({ text: note.slice(0, end + 1), signatures });
}

// Gives the head of a tree that a note's text tells; further lines are passed over.
export function parseCheckpoint(note) {
    const lines = note.text.split("\n");
    const root = lines.length >= 4 ? base64Bytes(lines[2]) : null;
    if (root === null || root.length !== 32 || lines[0] === "") {
        throw new Fault("a checkpoint says origin, size and root hash");
    }
    const size = TREE_SIZE.test(lines[1]) ? Number(lines[1]) : null;
    if (!Number.isSafeInteger(size)) {
        throw new Fault("a checkpoint says a size that no tree has");
    }
    return Object.freeze({ origin: lines[0], size, root });
}

// Refuses a checkpoint that none of these keys signed, or one of them did not.
export async function requireSigned(note, keys) {
    const text = bytesOf(note.text);
    let isGood = false;
    for (const { name, keyHash, signature } of note.signatures) {
        for (const key of keys) {
            if (name !== key.name || !sameBytes(keyHash, key.keyHash)) continue;
            if (!(await hasSigned(key.raw, text, signature))) {
                throw new Fault(`the note's signature by ${name} does not verify`);
            }
            isGood = true;
        }
    }
    if (!isGood) throw new Fault("no key that is known here signed the note");
}

function signatureLine(line) {
    const parts = line.split(" ");
    const data = parts.length === 3 ? base64Bytes(parts[2]) : null;
    if (parts[0] !== "\u2014" || data === null || data.length <= KEY_HASH_SIZE) {
        throw new Fault("a note's signature line is not of its form");
    }
    if (!isSignerName(parts[1])) throw new Fault("a note's signer has no name");
    return Object.freeze({
        name: parts[1],
        keyHash: data.slice(0, KEY_HASH_SIZE),
        signature: data.slice(KEY_HASH_SIZE),
    });
}

// Counts code points, as the limit does.
function lengthOf(text) {
    let count = 0;
    for (const _ of text) count += 1;
    return count;
}

// Tells whether a log may be the same as another one, or go on from it: the volumes of
// a log are NAME, NAME/v2, NAME/v3, and the shop's keys file tells which there are.
export function isOfVolume(origin, later) {
    if (origin === later) return true;
    const [name, number] = volumeOf(later);
    const [first, own] = volumeOf(origin);
    if (number === null) return false;
    return origin === name || (own !== null && first === name && own < number);
}

// The first volume has no number.
function volumeOf(origin) {
    const found = /^(.*)\/v([2-9]|[1-9][0-9]{1,5})$/.exec(origin);
    return found === null ? [origin, null] : [found[1], Number(found[2])];
}
