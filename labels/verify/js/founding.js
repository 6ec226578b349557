// The founding of a shop, and what every entry that governs must be.
// Source: the kind shop.founded/1.

import { approvers, shownKey } from "./approvals.js";
import { Fault, hexOf, joined, sameBytes } from "./bytes.js";
import { hasSigned, keyIdOf, sha256 } from "./crypt.js";
import { isCount } from "./json.js";
import { isSignerName } from "./note.js";

const MAY_STAND_BESIDE = new Set(
    ["kind", "happened_at", "station", "reason_commitment", "approvals"],
);
const FOUNDING = ["name", "origin", "unicode", "roots", "threshold", "log"];

// Gives the standing that a founding begins.
export async function founded(record) {
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

// Refuses an entry whose members are others than its kind has.
export function requireMembers(event, wanted) {
    const names = Object.keys(event);
    const isWhole = wanted.every((name) => Object.hasOwn(event, name));
    const isBare = names.every((n) => wanted.includes(n) || MAY_STAND_BESIDE.has(n));
    if (!isWhole || !isBare) throw new Fault(`${event.kind} has other members`);
}

// Gives the root keys that an entry names, by their ids.
export async function namedRoots(event, origin) {
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
