// Certificate files: a record, its proof, the names it discloses, and a status token.
// Source: the form flitchbook-certificate/1.

import { Fault, hexBytes, hexOf } from "./bytes.js";
import { hmacSha256, sha256 } from "./crypt.js";
import { parseRecordText } from "./entry.js";
import { commitmentsIn, isIssued } from "./issued.js";
import { canonical, hasExactly, parseObject } from "./json.js";
import { LARGEST_FILE, faultBetween, parseProof } from "./proof.js";

const CERTIFICATE_FORMAT = "flitchbook-certificate/1";
const CERTIFICATE_MEMBERS = ["disclosed", "format", "proof", "record", "status_token"];

// Gives the parts of a certificate file; refuses what is not of the form.
export async function parseCertificateFile(data) {
    if (data.length > LARGEST_FILE) {
        throw new Fault(`a certificate file has at most ${LARGEST_FILE} bytes`);
    }
    const members = parseObject(data);
    const isWhole = hasExactly(members, CERTIFICATE_MEMBERS);
    if (!isWhole || members.format !== CERTIFICATE_FORMAT) {
        throw new Fault(`this is no ${CERTIFICATE_FORMAT}`);
    }
    if (typeof members.proof !== "string" || typeof members.record !== "string") {
        throw new Fault("a certificate file holds its record and its proof as text");
    }
    const token = hexBytes(members.status_token, 16);
    if (token === null || !Array.isArray(members.disclosed)) {
        throw new Fault("a certificate file holds a status token and disclosures");
    }
    const proof = parseProof(members.proof);
    if (proof.extra !== null) {
        throw new Fault("a certificate file's proof has no extra line");
    }
    const record = await parseRecordText(members.record);
    const disclosed = members.disclosed.map(disclosureOf);
    return Object.freeze({ record, proof, disclosed, token });
}

// Says what does not fit within a certificate file, or gives null.
export async function faultInCertificate(file) {
    const { event } = file.record.entry;
    if (!isIssued(event)) {
        return `its record of kind ${event.kind} issues no certificate`;
    }
    const fault = await faultBetween(file.record, file.proof);
    if (fault !== null) return fault;
    if (event.status_token_sha256 !== hexOf(await sha256(file.token))) {
        return "the status token is not the record's";
    }
    return faultInDisclosures(file.disclosed, event);
}

async function faultInDisclosures(disclosed, event) {
    const committed = new Set(commitmentsIn(event).map((row) => JSON.stringify(row)));
    const opened = new Set();
    for (const { f, s, v, key } of disclosed) {
        const place = JSON.stringify([f, s]);
        if (opened.has(place)) return `${f} of the same subject is disclosed twice`;
        const commitment = hexOf(await hmacSha256(key, canonical({ f, s, v })));
        if (!committed.has(JSON.stringify([f, s, commitment]))) {
            return `the name ${JSON.stringify(v)} is not the one the record commits to`;
        }
        opened.add(place);
    }
    return null;
}

function disclosureOf(row) {
    if (!hasExactly(row, ["f", "key", "s", "v"])) {
        throw new Fault("a disclosure says field, key, subject and value");
    }
    const key = hexBytes(row.key, 32);
    if (key === null || ![row.f, row.s, row.v].every((t) => typeof t === "string")) {
        throw new Fault("a disclosure's key is 64 hex digits, the rest is text");
    }
    return { f: row.f, s: row.s, v: row.v, key };
}
