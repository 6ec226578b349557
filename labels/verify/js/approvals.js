// Yes, said with a key: that its holder has it, or that several approve one event.
// Source: the forms flitchbook-possession/1 and flitchbook-approval/1.

import { Fault, byCodePoint, hexBytes } from "./bytes.js";
import { hasSigned, publicBytes } from "./crypt.js";
import { signatureBytes } from "./entry.js";
import { canonical, hasExactly } from "./json.js";

// Gives a key that its holder shows by a signature for one purpose; refuses another.
export async function shownKey(shown, origin, purpose) {
    if (!hasExactly(shown, ["public", "possession"])) {
        throw new Fault("a key is shown by its public half and a possession");
    }
    const raw = publicBytes(shown.public);
    const format = "flitchbook-possession/1";
    const said = canonical({ format, origin, public: shown.public, purpose });
    const signature = signatureBytes(shown.possession);
    if (signature === null || !(await hasSigned(raw, said, signature))) {
        throw new Fault(`a key is shown without possession for purpose ${purpose}`);
    }
    return raw;
}

// Gives the ids of the known keys that approved an event; each of them must verify.
export async function approvers(event, origin, version, known) {
    const { approvals, ...bare } = event;
    if (!hasExactly(approvals, ["by", "once", "root_version"])) {
        throw new Fault("the approvals are not of their form");
    }
    const { once, by } = approvals;
    if (hexBytes(once, 16) === null || approvals.root_version !== version) {
        throw new Fault(`the approvals are not for version ${version} of the roots`);
    }
    if (!Array.isArray(by) || !by.every(isApproval)) {
        throw new Fault("an approval is a key and a signature");
    }
    if (by.some((row, n) => n > 0 && byCodePoint(by[n - 1].key, row.key) >= 0)) {
        throw new Fault("the approvals are not sorted by key, each named once");
    }
    const format = "flitchbook-approval/1";
    const about = { event: bare, format, once, origin, root_version: version };
    const said = canonical(about);
    const approved = new Set();
    for (const row of by.filter((each) => known.has(each.key))) {
        const signature = signatureBytes(row.signature);
        if (!signature || !(await hasSigned(known.get(row.key), said, signature))) {
            throw new Fault(`the approval by key ${row.key} does not verify`);
        }
        approved.add(row.key);
    }
    return approved;
}

function isApproval(row) {
    return hasExactly(row, ["key", "signature"]) && typeof row.key === "string";
}
