// Proof files: that a record is under a signed head of the log.
// Source: C2SP tlog-proof; the record stands, base64, in its extra line.

import { Fault, base64Bytes, sameBytes, textOf } from "./bytes.js";
import { parseRecord } from "./entry.js";
import { rootFromPath } from "./merkle.js";
import { isOfVolume, parseCheckpoint, parseNote } from "./note.js";

export const PROOF_HEADER = "c2sp.org/tlog-proof@v1";
export const LARGEST_FILE = 1048576;
const LONGEST_PATH = 63;
const PROOF_INDEX = /^index (0|[1-9][0-9]{0,15})$/;

// Gives a proof's index, path, note and head; refuses what is not of the form.
export function parseProof(text) {
    const end = text.indexOf("\n\n");
    const lines = (end < 0 ? text : text.slice(0, end)).split("\n");
    const checkpoint = end < 0 ? "" : text.slice(end + 2);
    if (lines[0] !== PROOF_HEADER || checkpoint === "") {
        throw new Fault(`this is no ${PROOF_HEADER}`);
    }
    let extra = null;
    if (lines.length > 1 && lines[1].startsWith("extra ")) {
        extra = base64Bytes(lines.splice(1, 1)[0].slice("extra ".length));
        if (extra === null) throw new Fault("the proof's extra line is no base64");
    }
    const found = lines.length > 1 ? PROOF_INDEX.exec(lines[1]) : null;
    const index = found === null ? null : Number(found[1]);
    if (!Number.isSafeInteger(index)) throw new Fault("the proof tells no index");
    if (lines.length - 2 > LONGEST_PATH) {
        throw new Fault(`a path has at most ${LONGEST_PATH} hashes`);
    }
    const path = lines.slice(2).map(pathNode);
    const note = parseNote(checkpoint);
    return Object.freeze({ index, path, note, head: parseCheckpoint(note), extra });
}

// Gives a proof file's proof and the record in it, null where it bears none.
export async function parseProofFile(data) {
    if (data.length > LARGEST_FILE) {
        throw new Fault(`a proof file has at most ${LARGEST_FILE} bytes`);
    }
    const proof = parseProof(textOf(data));
    const record = proof.extra === null ? null : await parseRecord(proof.extra);
    return Object.freeze({ proof, record });
}

// Says why a record and a proof do not belong together, or gives null.
export async function faultBetween(record, proof) {
    const { index, head, path } = proof;
    const { entry, leaf } = record;
    const root = await rootFromPath(leaf, index, head.size, path);
    if (index !== entry.index || root === null || !sameBytes(root, head.root)) {
        return "the record is not the one that the proof is of";
    }
    if (!isOfVolume(entry.origin, head.origin)) {
        return "the record and the checkpoint are of different logs";
    }
    return null;
}

function pathNode(line) {
    const data = base64Bytes(line);
    if (data === null || data.length !== 32) {
        throw new Fault("a proof's path is of hashes in base64");
    }
    return data;
}
