// The lineage of a shop's keys: its founding, changed roots, new keys of the log, and
// the volumes in which the log went on where its newest entries were lost.
// Source: the kinds shop.founded/1, root.changed/1, log.key-replaced/1 and
// shop.continued/1.

import { approvers, shownKey } from "./approvals.js";
import { Fault, hexBytes } from "./bytes.js";
import { keyIdOf } from "./crypt.js";
import { parseRecordText } from "./entry.js";
import { founded, namedRoots, requireMembers } from "./founding.js";
import { hasExactly, isCount } from "./json.js";

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
