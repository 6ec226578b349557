// The keys file: whose keys the shop vouches for, signed by its roots.
// Source: the form flitchbook-keys/1.

import { Fault, hexBytes, sameBytes } from "./bytes.js";
import { hasSigned } from "./crypt.js";
import { isDay, signatureBytes } from "./entry.js";
import { canonical, hasExactly, isCount, parseObject } from "./json.js";
import { keysRows, knownKey, spanOf } from "./keysrows.js";
import { spanCovers, walkLineage } from "./lineage.js";
import { parseNoteKey } from "./note.js";

const KEYS_FORMAT = "flitchbook-keys/1";
const LARGEST_KEYS_FILE = 2 * 1048576;
const KEYS_MEMBERS = [
    "date", "format", "keys", "lineage", "log", "number", "origin", "root",
    "root_version", "signatures", "size", "threshold",
];

// Gives what the shop vouches for; refuses a file that its roots did not sign.
export async function readKeysFile(data) {
    if (data.length > LARGEST_KEYS_FILE) {
        throw new Fault(`a keys file has at most ${LARGEST_KEYS_FILE} bytes`);
    }
    const members = parseObject(data);
    if (!hasExactly(members, KEYS_MEMBERS) || members.format !== KEYS_FORMAT) {
        throw new Fault(`this is no ${KEYS_FORMAT}`);
    }
    const root = hexBytes(members.root, 32);
    const { origin, date, number, size } = members;
    if (root === null || typeof origin !== "string") {
        throw new Fault("the keys file does not say its origin and root");
    }
    if (!isDay(date)) throw new Fault("the keys file's date is no day");
    const counts = [number, size, members.root_version, members.threshold];
    if (!counts.every((count) => isCount(count, 1))) {
        throw new Fault("the keys file's number, size and threshold count from 1");
    }
    const log = [];
    for (const row of keysRows(members.log)) log.push(await logKey(row));
    const keys = new Map();
    for (const row of keysRows(members.keys)) {
        const known = await knownKey(row);
        if (keys.has(known.id)) throw new Fault("the keys file names a key twice");
        keys.set(known.id, known);
    }
    const said = { origin, date, number, size, lineage: members.lineage };
    const file = Object.freeze({ ...said, root, log, keys });
    await requireLineage(file, members);
    await requireRootSignatures(file, members);
    return file;
}

// Gives the keys by which the log signs the head of a tree of this size.
export function logKeysAt(file, size) {
    return file.log.filter(({ span }) => spanCovers(span, size)).map(({ key }) => key);
}

// Gives the name that the log had when the entry of this index was said.
export function originAt(file, index) {
    const row = file.log.find(({ span }) => spanCovers(span, index + 1));
    return row === undefined ? file.origin : row.key.name;
}

// Gives how many entries the log held when this name of it ended, or null.
export function closedAfter(file, origin) {
    if (origin === file.origin) return null;
    return file.log.findLast(({ key }) => key.name === origin)?.span.until ?? null;
}

// Tells whether what a key said in this entry is in dispute still.
export function isDisputedAt({ disputed, affirmed }, index) {
    if (disputed === null || index < disputed) return false;
    return !(affirmed ?? []).includes(index);
}

// Tells whether a key's holder was a lead in the entry of this index.
export function wasLead(known, index) {
    const leads = known.roles.filter(({ role }) => role === "lead");
    return leads.some(({ span }) => spanCovers(span, index));
}

async function logKey(row) {
    if (!hasExactly(row, ["from_size", "until_size", "vkey"])) {
        throw new Fault("a log's key says its verifier key and its sizes");
    }
    const key = await parseNoteKey(row.vkey);
    return { key, span: spanOf(row.from_size, row.until_size) };
}

async function requireLineage(file, members) {
    const { origin, log, keys, size } = file;
    if (log.length === 0 || log.at(-1).key.name !== origin) {
        throw new Fault("the keys file's log has no key of its own name");
    }
    const walked = await walkLineage(members.lineage, size);
    const said = [origin, members.root_version, members.threshold];
    const led = [walked.origin, walked.version, walked.threshold];
    if (said.some((value, n) => value !== led[n])) {
        throw new Fault(
            `the keys file's lineage leads to version ${led[1]} and threshold ` +
                `${led[2]} of ${led[0]}, and the file says otherwise`,
        );
    }
    const roots = Array.from(keys.values()).filter(({ purpose }) => purpose === "root");
    const isSame = ({ id, span }) => {
        const root = walked.roots.get(id);
        return root && root.from === span.from && root.until === span.until;
    };
    if (roots.length !== walked.roots.size || !roots.every(isSame)) {
        throw new Fault("the keys file names other roots than its lineage leads to");
    }
    const isLed = ({ key, span }, n) => {
        const { name, raw, from, until } = walked.log[n];
        const isKey = key.name === name && sameBytes(key.raw, raw);
        return isKey && span.from === from && span.until === until;
    };
    if (log.length !== walked.log.length || !log.every(isLed)) {
        throw new Fault(
            "the keys file names other keys of the log, or other sizes, than its " +
                "lineage leads to",
        );
    }
}

async function requireRootSignatures(file, members) {
    const { signatures, ...rest } = members;
    const signed = canonical(rest);
    const good = new Set();
    for (const row of keysRows(signatures)) {
        if (!hasExactly(row, ["key", "signature"])) {
            throw new Fault("a signature of the keys file says its key");
        }
        const known = file.keys.get(row.key);
        if (known?.purpose !== "root" || !spanCovers(known.span, file.size)) continue;
        if (good.has(known.id)) {
            throw new Fault(`the keys file is signed twice by ${known.id}`);
        }
        const signature = signatureBytes(row.signature);
        if (!signature || !(await hasSigned(known.raw, signed, signature))) {
            throw new Fault(`the keys file's signature by ${known.id} is bad`);
        }
        good.add(known.id);
    }
    if (good.size < members.threshold) {
        throw new Fault(
            `the keys file is signed by ${good.size} of ${members.threshold} roots`,
        );
    }
}
