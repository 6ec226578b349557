// The lineage of a shop's keys: its founding, changed roots, new keys of the log, and
// the volumes in which the log went on where its newest entries were lost.
// Source: the kinds shop.founded/1, root.changed/1, log.key-replaced/1 and
// shop.continued/1.

import { approvers, shownKey } from "./approvals.js";
import { Fault, hexBytes, hexOf, joined, sameBytes } from "./bytes.js";
import { hasSigned, keyIdOf, sha256 } from "./crypt.js";
import { parseRecordText } from "./entry.js";
import { hasExactly, isCount } from "./json.js";
import { isSignerName } from "./note.js";

const MAY_STAND_BESIDE = new Set(
    ["kind", "happened_at", "station", "reason_commitment", "approvals"],
);
const FOUNDING = ["name", "origin", "unicode", "roots", "threshold", "log"];
const ROOT_CHANGE = ["version", "roots", "threshold"];
const LOG_KEY = ["public", "possession"];
const CONTINUED = "shop.continued/1";
const VOLUME = ["origin", "number", "log", "closed", "proven"];

// Gives the roots, the threshold and the log's keys to which a lineage leads.
export async function walkLineage(lineage, size) {
    if (!Array.isArray(lineage) || lineage.length === 0) {
        throw new Fault("the keys file has no lineage: get a newer one from the shop");
    }
    let [standing, newest] = [null, -1];
    for (const text of lineage) {
        if (typeof text !== "string") throw new Fault("a lineage is records as text");
        const record = await parseRecordText(text);
        const { index } = record.entry;
        if (index <= newest || index >= size) {
            throw new Fault("the keys file's lineage is not in order");
        }
        newest = index;
        standing = await (index === 0 ? founded(record) : changed(standing, record));
    }
    return standing;
}

// Tells whether a span, of a root or of anything else, counts at this index or size.
export function spanCovers(span, index) {
    return span.from <= index && (span.until === null || index <= span.until);
}

async function founded(record) {
    const { entry } = record;
    const { event } = entry;
    if (entry.event.kind !== "shop.founded/1" || entry.origin !== event.origin) {
        throw new Fault("a log begins with the founding of a shop, under its origin");
    }
    requireMembers(event, FOUNDING);
    const texts = [event.origin, event.name, event.unicode];
    if (!texts.every((text) => typeof text === "string" && text !== "")) {
        throw new Fault("the founding names shop, origin and Unicode's version");
    }
    if (!isSignerName(event.origin)) throw new Fault("the origin has a space or plus");
    const publics = await namedRoots(event, event.origin);
    const logPublic = await shownKey(event.log, event.origin, "log");
    await requireOwnOrigin(event.origin, publics, logPublic);
    const signer = publics.get(entry.key);
    if (!signer || !(await hasSigned(signer, record.signed, record.signature))) {
        throw new Fault("a shop is founded by one of its roots, who signs");
    }
    const approved = await approvers(event, event.origin, 1, publics);
    if (approved.size !== publics.size) {
        throw new Fault(
            `${approved.size} of ${publics.size} roots approved the founding`,
        );
    }
    const roots = new Map();
    for (const [id, raw] of publics) roots.set(id, { raw, from: 0, until: null });
    const { origin, threshold } = event;
    const log = [{ name: origin, raw: logPublic, from: 1, until: null }];
    return { origin, first: origin, volume: 1, version: 1, threshold, log, roots };
}

// The log's key is no root, and a made-up origin is made of the roots.
async function requireOwnOrigin(origin, publics, logPublic) {
    const raws = Array.from(publics.values());
    if (raws.some((raw) => sameBytes(raw, logPublic))) {
        throw new Fault("the log's key is one of the roots");
    }
    raws.sort((one, other) => (hexOf(one) < hexOf(other) ? -1 : 1));
    const made = `ledger-${hexOf(await sha256(joined(...raws))).slice(0, 16)}`;
    if (origin.startsWith("ledger-") && origin !== made) {
        throw new Fault(`the origin does not come from these roots: ${made} would`);
    }
}

async function changed(standing, record) {
    const { entry } = record;
    const { event, index } = entry;
    const named = event.kind === CONTINUED ? event.origin : standing?.origin;
    const isOurs = standing !== null && entry.origin === named;
    const change = isOurs ? CHANGES.get(event.kind) : undefined;
    if (change === undefined) {
        throw new Fault(`${event.kind} at ${index} changes no roots here`);
    }
    return change(standing, event, index);
}

async function rootsChanged(standing, event, index) {
    requireMembers(event, ROOT_CHANGE);
    if (event.version !== standing.version + 1) {
        throw new Fault(`the roots' version does not follow ${standing.version}`);
    }
    const publics = await namedRoots(event, standing.origin);
    const live = liveRoots(standing, index);
    for (const id of publics.keys()) {
        if (!live.has(id)) await requireNew(standing, id);
    }
    const known = new Map([...live, ...publics]);
    const { origin, version } = standing;
    const approved = Array.from(await approvers(event, origin, version, known));
    const [old, now] = [live, publics].map((m) => approved.filter((id) => m.has(id)));
    if (old.length < standing.threshold || now.length < event.threshold) {
        throw new Fault("too few of the old roots or of the new approved the change");
    }
    const roots = nextRoots(standing.roots, live, publics, index);
    return { ...standing, version: event.version, threshold: event.threshold, roots };
}

// The head that holds this entry is the first that the new key makes good.
async function logKeyReplaced(standing, event, index) {
    requireMembers(event, LOG_KEY);
    const { public: said, possession } = event;
    const raw = await shownKey({ public: said, possession }, standing.origin, "log");
    await requireNew(standing, await keyIdOf(raw));
    const live = liveRoots(standing, index);
    const { origin, version, threshold } = standing;
    const approved = await approvers(event, origin, version, live);
    if (approved.size < threshold) {
        throw new Fault("too few of the roots approved the log's new key");
    }
    return { ...standing, log: withNext(standing.log, origin, raw, index) };
}

// The log goes on under another name and key, behind the entries that are left.
async function continued(standing, event, index) {
    requireMembers(event, VOLUME);
    const { origin, closed, proven } = event;
    const volume = standing.volume + 1;
    if (event.number !== volume || origin !== `${standing.first}/v${volume}`) {
        throw new Fault(`a volume does not follow ${standing.origin}`);
    }
    const isWhole = isHead(closed, standing.origin) && closed.root.length === 64;
    if (!isWhole || closed.size !== index || !isHead(proven, standing.origin)) {
        throw new Fault("a volume says which head is closed and which one is proven");
    }
    if (proven.size <= closed.size && closed.root.startsWith(proven.root)) {
        throw new Fault("nothing is lost: the older volume holds all that is proven");
    }
    const raw = await shownKey(event.log, origin, "log");
    await requireNew(standing, await keyIdOf(raw));
    const { version, threshold } = standing;
    const live = liveRoots(standing, index);
    const approved = await approvers(event, origin, version, live);
    if (approved.size < threshold) {
        throw new Fault("too few of the roots approved the next volume");
    }
    const log = withNext(standing.log, origin, raw, index);
    return { ...standing, origin, volume, log };
}

// Words that are typed from a paper give ten bytes of a root.
function isHead(said, origin) {
    if (!hasExactly(said, ["origin", "size", "root"]) || said.origin !== origin) {
        return false;
    }
    const isRoot = [32, 10].some((size) => hexBytes(said.root, size) !== null);
    return isCount(said.size, 1) && isRoot;
}

function withNext(log, name, raw, index) {
    const ended = { ...log.at(-1), until: index };
    return [...log.slice(0, -1), ended, { name, raw, from: index + 1, until: null }];
}

const CHANGES = new Map([
    [CONTINUED, continued],
    ["root.changed/1", rootsChanged],
    ["log.key-replaced/1", logKeyReplaced],
]);

function liveRoots(standing, index) {
    const live = new Map();
    for (const [id, root] of standing.roots) {
        if (spanCovers(root, index)) live.set(id, root.raw);
    }
    return live;
}

async function requireNew(standing, id) {
    const ofLog = [];
    for (const { raw } of standing.log) ofLog.push(await keyIdOf(raw));
    if (standing.roots.has(id) || ofLog.includes(id)) {
        throw new Fault(`key ${id} was enrolled before and cannot be again`);
    }
}

function nextRoots(before, live, publics, index) {
    const roots = new Map(before);
    for (const id of live.keys()) {
        if (!publics.has(id)) roots.set(id, { ...roots.get(id), until: index });
    }
    for (const [id, raw] of publics) {
        if (!live.has(id)) roots.set(id, { raw, from: index + 1, until: null });
    }
    return roots;
}

function requireMembers(event, wanted) {
    const names = Object.keys(event);
    const isWhole = wanted.every((name) => Object.hasOwn(event, name));
    const isBare = names.every((n) => wanted.includes(n) || MAY_STAND_BESIDE.has(n));
    if (!isWhole || !isBare) throw new Fault(`${event.kind} has other members`);
}

async function namedRoots(event, origin) {
    const { roots, threshold } = event;
    if (!Array.isArray(roots) || roots.length === 0) {
        throw new Fault("there is at least one root key");
    }
    const publics = new Map();
    for (const shown of roots) {
        const raw = await shownKey(shown, origin, "root");
        publics.set(await keyIdOf(raw), raw);
    }
    if (publics.size !== roots.length) throw new Fault("a root key is named twice");
    if (!isCount(threshold, 1) || threshold > roots.length) {
        throw new Fault(`the threshold does not fit ${roots.length} root keys`);
    }
    return publics;
}
