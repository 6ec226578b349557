// CBOR as far as a card needs it, written in the one deterministic way.
// Source: RFC 8949 sections 3 and 4.2.1.

import { Fault, bytesOf, joined, textOf } from "./bytes.js";

const DEEPEST_ITEM = 8;
const UNSIGNED = 0;
const NEGATIVE = 1;
const BYTES = 2;
const TEXT = 3;
const LIST = 4;
const MAP = 5;

// Gives the value of CBOR; refuses another way to write it, and anything behind it.
export function exactCbor(data) {
    const from = { data, at: 0 };
    const value = cborItem(from, 1);
    if (from.at !== data.length) throw damagedCbor();
    return value;
}

// Gives the CBOR of a list of texts and bytes.
export function cborList(items) {
    const written = items.map((item) => {
        const isText = typeof item === "string";
        const raw = isText ? bytesOf(item) : item;
        return joined(cborHead(isText ? TEXT : BYTES, raw.length), raw);
    });
    return joined(cborHead(LIST, items.length), ...written);
}

function cborItem(from, depth) {
    if (depth > DEEPEST_ITEM) throw damagedCbor();
    const { major, count } = readHead(from);
    if (major === UNSIGNED) return count;
    if (major === NEGATIVE) return -1 - count;
    if (major === BYTES) return takenBytes(from, count);
    if (major === TEXT) return textOf(takenBytes(from, count));
    if (major === LIST) return cborItems(from, count, depth);
    if (major === MAP) return cborMap(from, count, depth);
    throw damagedCbor();
}

function cborItems(from, count, depth) {
    const items = [];
    while (items.length < count) items.push(cborItem(from, depth + 1));
    return items;
}

// A card's maps have small numbers for names, each once, in order.
function cborMap(from, count, depth) {
    const members = new Map();
    let last = -1;
    while (members.size < count) {
        const name = cborItem(from, depth + 1);
        if (!Number.isSafeInteger(name) || name <= last) throw damagedCbor();
        members.set(name, cborItem(from, depth + 1));
        last = name;
    }
    return members;
}

function readHead(from) {
    const [first] = takenBytes(from, 1);
    const [major, info] = [first >> 5, first & 31];
    if (info < 24) return { major, count: info };
    if (info > 27) throw damagedCbor();
    const width = 2 ** (info - 24);
    const count = takenBytes(from, width).reduce((sum, byte) => sum * 256 + byte, 0);
    const least = width === 1 ? 24 : 256 ** (width / 2);
    if (count < least || !Number.isSafeInteger(count)) throw damagedCbor();
    return { major, count };
}

function takenBytes(from, count) {
    if (count > from.data.length - from.at) throw damagedCbor();
    from.at += count;
    return from.data.slice(from.at - count, from.at);
}

function cborHead(major, count) {
    if (count < 24) return Uint8Array.of((major << 5) | count);
    if (count < 256) return Uint8Array.of((major << 5) | 24, count);
    return Uint8Array.of((major << 5) | 25, count >> 8, count & 255);
}

function damagedCbor() {
    return new Fault("the card's bytes are damaged, or not written the one way");
}
