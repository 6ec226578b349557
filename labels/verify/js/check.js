// A stranger judges a certificate, a proof or a card, with nothing but this page.
// Without the shop's keys file the answer is CANNOT TELL: anybody can make up a shop.

import { cardAgainstKeys, recordAgainstKeys } from "./against.js";
import { CANNOT_TELL, NO, answerOf, unreadAnswer } from "./answer.js";
import { Fault, LARGEST_READ, hexOf } from "./bytes.js";
import { cardDigits, readCard } from "./card.js";
import { faultInCertificate, parseCertificateFile } from "./certificate.js";
import { canCheck } from "./crypt.js";
import { ISSUED_KIND, factsOf, isIssued } from "./issued.js";
import { readKeysFile } from "./keysfile.js";
import { attachedIn, beginsWith, hasAttached, holdsText } from "./pdf.js";
import { PROOF_HEADER, faultBetween, parseProofFile } from "./proof.js";
import { listedBy, listedByToken } from "./status.js";

const KEYS_FILE_START = '{"date":';
// What every object that is signed names its form by.
const SIGNED_FORM = "flitchbook-";
const NOTHING_SIGNED =
    "nothing signed is found in this file: a scan, a print or a picture holds no " +
    "signature; ask for the file itself, or type the digits of the card";
const GET_KEYS = "get the shop's keys file from the shop and check again";
const IN_HAND = "with the paper and with the instrument in your hand";
const WITHOUT_ED25519 =
    "this browser does not know Ed25519 signatures, so nothing can be checked in it: " +
    "use a newer browser";

// Gives YES, NO or CANNOT TELL with reasons and the facts, whatever the bytes are.
export async function check(data, keysData) {
    const kind = kindOf(data);
    const unjudged = kind === "certificate" ? await nothingToJudge(data) : null;
    if (unjudged !== null) return unjudged;
    if (!(await canCheck())) return answerOf(CANNOT_TELL, WITHOUT_ED25519, { kind });
    try {
        if (kind === "card") return await judgedCard(data, keysData);
        if (kind === "proof") return await judgedProof(data, keysData);
        if (kind === "keys") return await judgedKeys(data);
        return await judgedCertificate(data, keysData);
    } catch (fault) {
        if (!(fault instanceof Fault)) throw fault;
        return answerOf(NO, fault.message, { kind });
    }
}

function kindOf(data) {
    if (cardDigits(data) !== null) return "card";
    if (beginsWith(data, `${PROOF_HEADER}\n`)) return "proof";
    if (beginsWith(data, KEYS_FILE_START)) return "keys";
    return "certificate";
}

// Gives the answer to a file that is neither true nor false, or null where it may be.
async function nothingToJudge(data) {
    if (data.length > LARGEST_READ) {
        return unreadAnswer(`a file of over ${LARGEST_READ} bytes is not read`);
    }
    const mayBe = beginsWith(data, "%PDF-") ? await hasAttached(data)
        : beginsWith(data, "{") || (await holdsText(data, SIGNED_FORM));
    return mayBe ? null : answerOf(CANNOT_TELL, NOTHING_SIGNED);
}

async function judgedCertificate(data, keysData) {
    const inside = beginsWith(data, "%PDF-") ? await attachedIn(data) : data;
    const file = await parseCertificateFile(inside);
    const fault = await faultInCertificate(file);
    if (fault !== null) return answerOf(NO, fault, { kind: "certificate" });
    const names = Object.fromEntries(file.disclosed.map(({ s, v }) => [s, v]));
    const { record, proof } = file;
    const done = `compare these facts ${IN_HAND}`;
    const about = { kind: "certificate", record, proof, names, done };
    return judgedRecord(about, keysData);
}

async function judgedProof(data, keysData) {
    const { record, proof } = await parseProofFile(data);
    if (record === null) {
        const reason =
            "this proof holds no record, so there is nothing to judge: ask the shop " +
            "for one with the record in it";
        return answerOf(CANNOT_TELL, reason, { kind: "proof", index: proof.index });
    }
    const fault = faultInSaid(record.entry) ?? (await faultBetween(record, proof));
    if (fault !== null) return answerOf(NO, fault, { kind: "proof" });
    const done = isIssued(record.entry.event)
        ? `this entry stands in the shop's log: compare its facts ${IN_HAND}`
        : "this entry stands in the shop's log";
    return judgedRecord({ kind: "proof", record, proof, names: {}, done }, keysData);
}

// A certificate is judged here to the last member; of other kinds only who signed.
function faultInSaid({ event }) {
    const isTorn = event.kind === ISSUED_KIND && !isIssued(event);
    return isTorn ? `its record of kind ${event.kind} issues no certificate` : null;
}

async function judgedKeys(data) {
    const keys = await readKeysFile(data);
    const reason =
        `this is keys file ${keys.number} of ${keys.origin}: open a certificate, a ` +
        `proof or a card beside it`;
    // What a later keys file of this log must go on from.
    const past = { root: hexOf(keys.root), lineage: keys.lineage };
    const told = { ...keysTold(keys), ...past };
    return answerOf(CANNOT_TELL, reason, { kind: "keys", keys: told });
}

async function judgedRecord(about, keysData) {
    const { entry } = about.record;
    if (keysData === null) {
        const reason =
            `whole in itself; signed by key ${entry.key}, which only this file ` +
            `vouches for: ${GET_KEYS}`;
        return recordAnswer(about, CANNOT_TELL, reason, null);
    }
    const { keys, fault } = await keysOrFault(keysData);
    if (fault) return recordAnswer(about, CANNOT_TELL, fault, null);
    return recordAnswer(about, ...(await recordAgainstKeys(about, keys)), keys);
}

function recordAnswer({ kind, record, proof, names }, word, reason, keys) {
    const { entry } = record;
    const { origin, size, root } = proof.head;
    return answerOf(word, reason, {
        kind,
        facts: isIssued(entry.event) ? factsOf(entry.event, names) : null,
        names,
        index: entry.index,
        entered: entry.at,
        said: entry.event.kind,
        checkpoint: { origin, size, root: hexOf(root) },
        keys: keysTold(keys),
        key: entry.key,
        listed: isIssued(entry.event) ? listedBy(entry.event) : null,
    });
}

async function keysOrFault(keysData) {
    try {
        return { keys: await readKeysFile(keysData) };
    } catch (fault) {
        if (!(fault instanceof Fault)) throw fault;
        return { fault: `the keys file does not hold: ${fault.message}` };
    }
}

function keysTold(keys) {
    if (keys === null) return null;
    const { origin, date, number, size } = keys;
    // Its own, and those under which it went on.
    const names = keys.log.map(({ key }) => key.name);
    return { origin, names, date, number, size };
}

async function judgedCard(data, keysData) {
    const card = readCard(cardDigits(data));
    if (keysData === null) {
        const reason =
            `a whole card, signed by key ${card.key}, which only it vouches for: ` +
            GET_KEYS;
        return cardAnswer(card, CANNOT_TELL, reason, null);
    }
    const { keys, fault } = await keysOrFault(keysData);
    if (fault) return cardAnswer(card, CANNOT_TELL, fault, null);
    return cardAnswer(card, ...(await cardAgainstKeys(card, keys)), keys);
}

async function cardAnswer({ claims, key, token }, word, reason, keys) {
    const { index } = claims;
    const listed = await listedByToken(token);
    return answerOf(word, reason, {
        kind: "card", index, key, listed, card: claims, keys: keysTold(keys),
    });
}
