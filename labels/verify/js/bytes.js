// Bytes and texts, and the one fault that everything here ends in.

// No file that is larger is read.
export const LARGEST_READ = 64 * 1048576;

// What is wrong with what was read, in words for whoever asked.
export class Fault extends Error {}

// Gives the UTF-8 bytes of a text.
export function bytesOf(text) {
    return new TextEncoder().encode(text);
}

// Gives the text of UTF-8 bytes, a byte order mark and all; refuses what is no UTF-8.
export function textOf(data) {
    try {
        return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(data);
    } catch {
        throw new Fault("these bytes are no text");
    }
}

// Gives bytes as text of one character each, for patterns that ask for ASCII.
export function latinOf(data) {
    let text = "";
    for (let at = 0; at < data.length; at += 8192) {
        text += String.fromCharCode(...data.subarray(at, at + 8192));
    }
    return text;
}

// Gives lower-case hex, two digits a byte.
export function hexOf(data) {
    return Array.from(data, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Gives `size` bytes of lower-case hex, or null where the value is anything else.
export function hexBytes(value, size) {
    if (typeof value !== "string" || value.length !== 2 * size) return null;
    if (!/^[0-9a-f]*$/.test(value)) return null;
    const pair = (_, n) => Number.parseInt(value.slice(2 * n, 2 * n + 2), 16);
    return Uint8Array.from({ length: size }, pair);
}

// Gives the bytes of base64 that is written the one way, or null for anything else.
// Source: RFC 4648 sections 3.5 and 4 (padded, unused bits zero).
export function base64Bytes(value) {
    if (typeof value !== "string" || value.length % 4 !== 0) return null;
    if (!/^[A-Za-z0-9+/]*={0,2}$/.test(value)) return null;
    const raw = atob(value);
    const rest = raw.length % 3;
    if (rest && btoa(raw.slice(-rest)) !== value.slice(-4)) return null;
    const data = new Uint8Array(raw.length);
    for (let at = 0; at < raw.length; at += 1) data[at] = raw.charCodeAt(at);
    return data;
}

// Gives all these bytes, end to end.
export function joined(...parts) {
    const size = parts.reduce((sum, part) => sum + part.length, 0);
    const out = new Uint8Array(size);
    let at = 0;
    for (const part of parts) {
        out.set(part, at);
        at += part.length;
    }
    return out;
}

// Lets the page answer whoever uses it, between two pieces of long work.
export function breather() {
    return new Promise((done) => {
        setTimeout(done, 0);
    });
}

// Tells whether two runs of bytes are the same.
export function sameBytes(one, other) {
    return one.length === other.length && one.every((byte, n) => byte === other[n]);
}

// Tells which of two texts comes first, by code points and not by UTF-16.
export function byCodePoint(one, other) {
    const [ones, others] = [Array.from(one), Array.from(other)];
    const shared = Math.min(ones.length, others.length);
    for (let n = 0; n < shared; n += 1) {
        const apart = ones[n].codePointAt(0) - others[n].codePointAt(0);
        if (apart !== 0) return apart;
    }
    return ones.length - others.length;
}
