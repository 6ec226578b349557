// Hashes and signatures, by the browser's own cryptography.
// Source: FIPS 180-4 (SHA-256), RFC 2104 (HMAC), RFC 8032 (Ed25519, without cofactor).

import { Fault, hexBytes, hexOf } from "./bytes.js";

// The eight points of small order and the six other ways to write some of them: under
// the first a signature of R = 1, S = 0 would fit every message.
const SMALL_ORDER = new Set([
    "0100000000000000000000000000000000000000000000000000000000000000",
    "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "0000000000000000000000000000000000000000000000000000000000000000",
    "0000000000000000000000000000000000000000000000000000000000000080",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc05",
    "26e8958fc2b227b045c3f489f2ef98f0d5dfac05d3c63339b13802886d53fc85",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac037a",
    "c7176a703d4dd84fba3c0b760d10670f2a2053fa2c39ccc64ec7fd7792ac03fa",
    "0100000000000000000000000000000000000000000000000000000000000080",
    "ecffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
    "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "edffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
    "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff7f",
    "eeffffffffffffffffffffffffffffffffffffffffffffffffffffffffffffff",
]);

// RFC 8032 section 7.1, test 2: a key, and its signature over the one byte 72.
const KNOWN_KEY = "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c";
const KNOWN_SIGNATURE =
    "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da" +
    "085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00";

// Tells whether this browser knows a true signature from a false one.
export async function canCheck() {
    if (!globalThis.crypto?.subtle) return false;
    const key = hexBytes(KNOWN_KEY, 32);
    const signature = hexBytes(KNOWN_SIGNATURE, 64);
    const holds = await hasSigned(key, Uint8Array.of(0x72), signature);
    return holds && !(await hasSigned(key, Uint8Array.of(0x73), signature));
}

// Gives the SHA-256 of bytes.
export async function sha256(data) {
    return new Uint8Array(await crypto.subtle.digest("SHA-256", data));
}

// Gives the HMAC-SHA-256 of bytes under a key.
export async function hmacSha256(key, data) {
    const kind = { name: "HMAC", hash: "SHA-256" };
    const held = await crypto.subtle.importKey("raw", key, kind, false, ["sign"]);
    return new Uint8Array(await crypto.subtle.sign("HMAC", held, data));
}

// Gives a key's id: the first 16 hex digits of the SHA-256 of its 32 bytes.
export async function keyIdOf(raw) {
    return hexOf(await sha256(raw)).slice(0, 16);
}

// Gives the 32 bytes of a public key in hex; refuses one that anybody could sign for.
export function publicBytes(value) {
    const raw = hexBytes(value, 32);
    if (raw === null) throw new Fault("a public key is 64 hex digits");
    requireLargeOrder(raw);
    return raw;
}

// Refuses the public keys under which anybody could sign.
export function requireLargeOrder(raw) {
    const digits = hexOf(raw);
    if (SMALL_ORDER.has(digits)) {
        throw new Fault(
            `public key ${digits} is of small order: anybody could sign for it`,
        );
    }
}

// Tells whether the key made the signature over the message. No signer makes one whose
// R is of small order, and readers differ over it.
export async function hasSigned(raw, message, signature) {
    if (raw.length !== 32 || signature.length !== 64) return false;
    if (SMALL_ORDER.has(hexOf(signature.subarray(0, 32)))) return false;
    const kind = { name: "Ed25519" };
    try {
        const key = await crypto.subtle.importKey("raw", raw, kind, false, ["verify"]);
        return await crypto.subtle.verify(kind, key, signature, message);
    } catch {
        // A browser refuses some bytes that are no point of the curve already here.
        return false;
    }
}
