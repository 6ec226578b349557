// Entries, which are signed, and records, which are stored and hashed.
// Source: the form flitchbook-entry/1; RFC 3339 for the time.

import { Fault, base64Bytes, bytesOf, latinOf } from "./bytes.js";
import { hasExactly, isCount, isObject, parseObject } from "./json.js";
import { leafHash } from "./merkle.js";
import { isSignerName } from "./note.js";

const ENTRY_FORMAT = "flitchbook-entry/1";
const LARGEST_RECORD = 65535;
const ENTRY_MEMBERS = ["at", "event", "format", "index", "key", "origin", "previous"];
const KIND = /^[a-z]+(?:-[a-z]+)*\.[a-z]+(?:-[a-z]+)*\/[1-9][0-9]*$/;
const DAY = /^([0-9]{4})-([0-9]{2})-([0-9]{2})$/;
const MONTH_DAYS = [31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31];
const MOMENT = /^([0-9-]{10})T([0-9]{2}):([0-9]{2}):([0-9]{2})Z$/;

// Gives a record's entry, signature and leaf hash; refuses what is no record.
export async function parseRecord(data) {
    if (data.length > LARGEST_RECORD) {
        throw new Fault(`a record has at most ${LARGEST_RECORD} bytes`);
    }
    const first = data.indexOf(0x0a);
    const second = data.indexOf(0x0a, first + 1);
    if (first < 0 || second < 0 || second !== data.length - 1) {
        throw new Fault("a record is two lines, and this is not");
    }
    const signature = signatureBytes(latinOf(data.subarray(first + 1, second)));
    if (signature === null) {
        throw new Fault("the record's second line is no signature in base64");
    }
    const signed = data.slice(0, first);
    const entry = requireEntry(parseObject(signed));
    return Object.freeze({ entry, signed, signature, leaf: await leafHash(data) });
}

// Gives a record that is written as text inside something else.
export async function parseRecordText(text) {
    return parseRecord(bytesOf(text));
}

// Gives the 64 bytes of a signature in base64, or null for anything else.
export function signatureBytes(value) {
    const data = base64Bytes(value);
    return data !== null && data.length === 64 ? data : null;
}

// Tells whether a value is a day of the calendar such as 2026-11-21.
export function isDay(value) {
    const found = typeof value === "string" ? DAY.exec(value) : null;
    if (found === null) return false;
    const [year, month, day] = found.slice(1).map(Number);
    if (year < 1 || month < 1 || month > 12 || day < 1) return false;
    const isLeap = (year % 4 === 0 && year % 100 !== 0) || year % 400 === 0;
    return day <= (isLeap && month === 2 ? 29 : MONTH_DAYS[month - 1]);
}

// Tells whether a value is a moment such as 2026-11-24T22:08:35Z.
export function isMoment(value) {
    const found = typeof value === "string" ? MOMENT.exec(value) : null;
    if (found === null || !isDay(found[1])) return false;
    const [hour, minute, second] = found.slice(2).map(Number);
    return hour < 24 && minute < 60 && second < 60;
}

function requireEntry(members) {
    if (!hasExactly(members, ENTRY_MEMBERS)) {
        throw new Fault("an entry has exactly seven members, and this has others");
    }
    if (members.format !== ENTRY_FORMAT) throw new Fault(`this is no ${ENTRY_FORMAT}`);
    requireShape(members, "key", /^[0-9a-f]{16}$/);
    requireShape(members, "previous", /^[0-9a-f]{64}$/);
    if (!isMoment(members.at)) throw new Fault("the entry's time is wrong");
    if (!isCount(members.index, 0)) {
        throw new Fault("an entry's index is a whole number from 0");
    }
    if (typeof members.origin !== "string" || !isSignerName(members.origin)) {
        throw new Fault("an entry names the origin of its log without space or plus");
    }
    if (!isObject(members.event)) throw new Fault("an entry's event says its kind");
    requireShape(members.event, "kind", KIND);
    return Object.freeze(members);
}

function requireShape(members, name, shape) {
    if (typeof members[name] !== "string" || !shape.test(members[name])) {
        throw new Fault(`the entry's ${name} is not of its form`);
    }
}
