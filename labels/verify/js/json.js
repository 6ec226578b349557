// Canonical bytes: the one way to write a value down.
// Source: RFC 8785, under a profile: names of [a-z][a-z0-9_]*, whole numbers within
// 2^53 - 1, sixteen deep, no control character but LF, no direction marks.

import { Fault, bytesOf, textOf } from "./bytes.js";

const DEEPEST = 16;
const MEMBER_NAME = /^[a-z][a-z0-9_]*$/;
const WHOLE_NUMBER = /-?(?:0|[1-9][0-9]{0,15})/y;
const QUOTE = 0x22;
const BACKSLASH = 0x5c;
const OBJECT_OPENS = 0x7b;
const LIST_OPENS = 0x5b;
const ESCAPED = new Map([['"', '"'], ["\\", "\\"], ["n", "\n"]]);
const WORDS = new Map([["true", true], ["false", false], ["null", null]]);
const BEGUN = [...WORDS.keys(), "-"];
const LONGEST_WORD = 5;

// Gives the members of a canonical object; refuses all that is not written the one way.
export function parseObject(data) {
    const from = { text: textOf(data), at: 0 };
    if (from.text[0] !== "{") throw uncanonical("they are no object");
    const value = jsonObject(from, 1);
    if (from.at !== from.text.length) throw uncanonical("something follows the object");
    if (writtenJson(value) !== from.text) {
        throw uncanonical("written again they differ");
    }
    return value;
}

// Gives the canonical bytes of a value that the profile allows.
export function canonical(value) {
    return bytesOf(writtenJson(value));
}

// Tells whether a value is an object that has just these members.
export function hasExactly(value, names) {
    if (!isObject(value)) return false;
    const found = Object.keys(value);
    return found.length === names.length && names.every((n) => Object.hasOwn(value, n));
}

// Tells whether a value is an object, and neither a list nor null.
export function isObject(value) {
    return typeof value === "object" && value !== null && !Array.isArray(value);
}

// Tells whether a value is a whole number from `least` on.
export function isCount(value, least) {
    return Number.isSafeInteger(value) && value >= least;
}

// Tells whether a text holds a character that no canonical text may hold, save LF.
export function holdsForbidden(text) {
    for (let at = 0; at < text.length; at += 1) {
        const code = text.charCodeAt(at);
        if (code !== 0x0a && isForbiddenCode(code)) return true;
    }
    return false;
}

// C0, DEL and C1, and Unicode's Bidi_Control (PropList.txt).
function isForbiddenCode(code) {
    if (code < 0x20) return true;
    if (code < 0x7f) return false;
    if (code <= 0x9f || code === 0x61c) return true;
    if (code < 0x200e || code > 0x2069) return false;
    return code <= 0x200f || (code >= 0x202a && code <= 0x202e) || code >= 0x2066;
}

function uncanonical(why) {
    return new Fault(`these bytes are not canonical: ${why}`);
}

// Of a file that ends in the middle nothing else is worth saying.
function requireMore(from) {
    if (from.at >= from.text.length) throw endedEarly();
}

function endedEarly() {
    return new Fault(
        "these bytes end in the middle: the file is cut off, get it again",
    );
}

function jsonValue(from, depth) {
    const rest = from.text.slice(from.at, from.at + LONGEST_WORD);
    // Whole or in part, at the very end: a value never ends the file of an object.
    const isLast = from.at + rest.length === from.text.length;
    if (isLast && BEGUN.some((word) => word.startsWith(rest))) throw endedEarly();
    const first = from.text.charCodeAt(from.at);
    if (first === OBJECT_OPENS) return jsonObject(from, depth);
    if (first === LIST_OPENS) return jsonList(from, depth);
    if (first === QUOTE) return jsonText(from);
    for (const [word, meaning] of WORDS) {
        if (from.text.startsWith(word, from.at)) {
            from.at += word.length;
            return meaning;
        }
    }
    return jsonNumber(from);
}

function jsonNumber(from) {
    WHOLE_NUMBER.lastIndex = from.at;
    const found = WHOLE_NUMBER.exec(from.text);
    if (found === null) throw uncanonical(`there is no value at ${from.at}`);
    const value = Number(found[0]);
    if (!Number.isSafeInteger(value) || Object.is(value, -0)) {
        throw uncanonical(`${found[0]} is no whole number within 2^53 - 1`);
    }
    from.at += found[0].length;
    return value;
}

function jsonText(from) {
    const { text } = from;
    let [start, out] = [from.at + 1, ""];
    for (let at = start; at < text.length; at += 1) {
        const code = text.charCodeAt(at);
        if (code === QUOTE) {
            from.at = at + 1;
            return out + text.slice(start, at);
        }
        if (code === BACKSLASH) {
            if (at + 1 === text.length) throw endedEarly();
            const meant = ESCAPED.get(text[at + 1]);
            if (meant === undefined) throw uncanonical(`odd escape at ${at}`);
            out += text.slice(start, at) + meant;
            at += 1;
            start = at + 1;
        } else if (isForbiddenCode(code)) {
            const sign = code.toString(16).toUpperCase().padStart(4, "0");
            throw uncanonical(`text holds the character U+${sign}`);
        }
    }
    throw endedEarly();
}

function jsonList(from, depth) {
    const items = [];
    enterJson(from, depth);
    if (takenJson(from, "]")) return items;
    do items.push(jsonValue(from, depth + 1));
    while (takenJson(from, ","));
    requireJson(from, "]");
    return items;
}

function jsonObject(from, depth) {
    const members = Object.create(null);
    enterJson(from, depth);
    if (takenJson(from, "}")) return members;
    let last = "";
    do {
        requireMore(from);
        if (from.text[from.at] !== '"') throw uncanonical(`no name at ${from.at}`);
        const name = jsonText(from);
        if (!MEMBER_NAME.test(name)) throw uncanonical("something is no member name");
        if (name <= last) throw uncanonical(`${name} is out of order`);
        requireJson(from, ":");
        members[name] = jsonValue(from, depth + 1);
        last = name;
    } while (takenJson(from, ","));
    requireJson(from, "}");
    return members;
}

function enterJson(from, depth) {
    if (depth > DEEPEST) throw uncanonical(`it nests deeper than ${DEEPEST}`);
    from.at += 1;
}

function takenJson(from, sign) {
    requireMore(from);
    if (from.text[from.at] !== sign) return false;
    from.at += 1;
    return true;
}

function requireJson(from, sign) {
    if (!takenJson(from, sign)) throw uncanonical(`${sign} is missing at ${from.at}`);
}

function writtenJson(value) {
    if (Array.isArray(value)) return `[${value.map(writtenJson).join(",")}]`;
    if (!isObject(value)) return JSON.stringify(value);
    const names = Object.keys(value).sort();
    const members = names.map((name) => `"${name}":${writtenJson(value[name])}`);
    return `{${members.join(",")}}`;
}
