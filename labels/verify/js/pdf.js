// The certificate file inside a PDF, found behind its marker without reading the page.

import { Fault, breather, bytesOf } from "./bytes.js";

const ONE_STRETCH = 4 * 1048576;
const MARKER = "/FLBK_Certificate";
// What a signature in a PDF cannot do without.
const BYTE_RANGE = "/ByteRange";
const LF = 0x0a;
const CR = 0x0d;

// Tells whether bytes begin like a text.
export function beginsWith(data, text) {
    return standsAt(data, bytesOf(text), 0);
}

// Tells whether bytes hold a text anywhere.
export async function holdsText(data, text) {
    for (let from = 0; from < data.length; from += ONE_STRETCH) {
        if (placesOf(bytesOf(text), data, from).length) return true;
        await breather();
    }
    return false;
}

// Tells whether a PDF has a place where a certificate file is said to be.
export async function hasAttached(data) {
    return holdsText(data, MARKER);
}

// Tells whether a PDF was signed as such, well or badly.
export async function bearsSignature(data) {
    return beginsWith(data, "%PDF-") && holdsText(data, BYTE_RANGE);
}

// Gives the certificate file in a PDF; refuses a page with several, or a torn one.
export async function attachedIn(data) {
    const found = [];
    for (let from = 0; from < data.length; from += ONE_STRETCH) {
        for (const at of placesOf(bytesOf(MARKER), data, from)) found.push(at);
        await breather();
    }
    if (found.length > 1) {
        throw new Fault(
            `this PDF holds ${found.length} certificate files, and a true one has one`,
        );
    }
    const line = data.indexOf(LF, found[0]);
    const last = data[line - 1] === CR ? line - 1 : line;
    if (line < 0 || !standsAt(data, bytesOf(">>"), last - 2)) throw cutOff();
    const start = afterWord(data, "stream", line + 1);
    let end = start;
    while (end < data.length && data[end] !== LF && data[end] !== CR) end += 1;
    const next = data[end] === CR ? end + 1 : end;
    if (data[next] !== LF || !standsAt(data, bytesOf("endstream"), next + 1)) {
        throw cutOff();
    }
    return data.slice(start, end);
}

// Gives every place in a stretch of the data where a word begins.
function placesOf(word, data, from) {
    const found = [];
    const until = Math.min(from + ONE_STRETCH, data.length);
    for (let at = from; at < until; at += 1) {
        // Most slashes of a page begin another word.
        if (data[at] !== word[0] || data[at + 1] !== word[1]) continue;
        if (standsAt(data, word, at)) found.push(at);
    }
    return found;
}

function standsAt(data, word, at) {
    for (let n = 0; n < word.length; n += 1) {
        if (data[at + n] !== word[n]) return false;
    }
    return true;
}

// Gives the place behind a word and its line's end.
function afterWord(data, word, at) {
    if (!standsAt(data, bytesOf(word), at)) throw cutOff();
    const end = at + word.length + (data[at + word.length] === CR ? 1 : 0);
    if (data[end] !== LF) throw cutOff();
    return end + 1;
}

function cutOff() {
    return new Fault("the certificate file in this PDF is cut off");
}
