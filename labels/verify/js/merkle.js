// One hash for all that was said, and the short proof that something is under it.
// Source: RFC 6962 section 2.1; RFC 9162 section 2.1.3.2 (how a proof is checked).

import { joined } from "./bytes.js";
import { sha256 } from "./crypt.js";

// Gives the hash of a leaf.
export async function leafHash(data) {
    return sha256(joined(Uint8Array.of(0), data));
}

async function nodeHash(left, right) {
    return sha256(joined(Uint8Array.of(1), left, right));
}

// Gives the root to which a path leads, or null where it cannot be a path.
export async function rootFromPath(leaf, index, size, path) {
    if (index < 0 || index >= size) return null;
    // Beyond 2^31 the shifts of numbers go wrong; those of BigInt do not.
    let [place, last, top] = [BigInt(index), BigInt(size) - 1n, leaf];
    for (const sibling of path) {
        if (last === 0n) return null;
        if (place & 1n || place === last) {
            top = await nodeHash(sibling, top);
            while (!(place & 1n) && place) [place, last] = [place >> 1n, last >> 1n];
        } else {
            top = await nodeHash(top, sibling);
        }
        [place, last] = [place >> 1n, last >> 1n];
    }
    return last === 0n ? top : null;
}
