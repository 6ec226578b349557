// The rows of a keys file: keys, whose they are, for which entries they count.
// Source: the form flitchbook-keys/1.

import { Fault } from "./bytes.js";
import { keyIdOf, publicBytes } from "./crypt.js";
import { hasExactly, isCount, isObject } from "./json.js";

const PURPOSES = ["root", "log", "person", "card", "pdf"];
const KEY_MEMBERS = [
    "disputed_since", "from_index", "key", "public", "purpose", "roles", "subject",
    "until_index",
];

// Gives the rows of a list, which are objects.
export function keysRows(value) {
    if (!Array.isArray(value) || !value.every(isObject)) {
        throw new Fault("the keys file's keys are lists of objects");
    }
    return value;
}

// Gives what a row says of a key.
export async function knownKey(row) {
    const { affirmed, ...rest } = row;
    if (!hasExactly(rest, KEY_MEMBERS) || !PURPOSES.includes(row.purpose)) {
        throw new Fault("a key of the keys file is not of its form");
    }
    const raw = publicBytes(row.public);
    const id = await keyIdOf(raw);
    if (id !== row.key) throw new Fault(`key ${id} stands beside another key's id`);
    if (row.subject !== null && typeof row.subject !== "string") {
        throw new Fault(`key ${id} has no subject of the right form`);
    }
    const disputed = row.disputed_since;
    if (disputed !== null && !isCount(disputed, 0)) {
        throw new Fault(`key ${id} is disputed since no index`);
    }
    const span = spanOf(row.from_index, row.until_index);
    const roles = keysRows(row.roles).map(roleOf);
    if (Object.hasOwn(row, "affirmed")) requireAffirmed(id, affirmed, disputed);
    const { purpose } = row;
    return Object.freeze({ id, raw, purpose, span, disputed, affirmed, roles });
}

// Entries that somebody stands by after all: in dispute, sorted, each of them once.
function requireAffirmed(id, affirmed, disputed) {
    const isList = Array.isArray(affirmed) && affirmed.length > 0;
    if (!isList || !affirmed.every((index) => isCount(index, 0))) {
        throw new Fault(`key ${id} was affirmed in no entries`);
    }
    const isSorted = affirmed.every((index, n) => n === 0 || affirmed[n - 1] < index);
    if (disputed === null || affirmed[0] < disputed || !isSorted) {
        throw new Fault(`key ${id} was affirmed where it is not disputed`);
    }
}

function roleOf(row) {
    if (!hasExactly(row, ["from_index", "role", "until_index"])) {
        throw new Fault("a role of the keys file says from and until which index");
    }
    return { role: row.role, span: spanOf(row.from_index, row.until_index) };
}

// Gives the indices or sizes for which something counts.
export function spanOf(from, until) {
    if (!isCount(from, 0) || !(until === null || isCount(until, 0))) {
        throw new Fault("a key counts from an index until an index or null");
    }
    return { from, until };
}
