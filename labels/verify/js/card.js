// The owner card's text: a certificate's first facts in one square.
// Source: RFC 9052 (COSE_Sign1), RFC 9864 (algorithm -19, Ed25519).

import { Fault, bytesOf, hexOf } from "./bytes.js";
import { cborList, exactCbor } from "./cbor.js";
import { holdsForbidden, isCount } from "./json.js";

const CARD_ALGORITHM = -19;
const LARGEST_CARD = 332;
const LATEST_DAY = 10 ** 6;
const DAY_MILLISECONDS = 86400000;
// How many digits stand for how many bytes.
const CARD_DIGITS = [0, 3, 5, 8, 10, 13, 15, 17];
const CARD_TEXT = /^(?:https:\/\/[!"$-~]{1,253}\/v#|v#)([0-9]{1,2000})$/i;
const LONGEST_CARD_TEXT = 8 + 253 + 3 + 2000;

// Gives the digits of a card's text, or null where the bytes are none.
export function cardDigits(data) {
    let [start, end] = [0, data.length];
    while (start < end && isSpaceByte(data[start])) start += 1;
    while (end > start && isSpaceByte(data[end - 1])) end -= 1;
    if (end - start > LONGEST_CARD_TEXT) return null;
    const found = CARD_TEXT.exec(String.fromCharCode(...data.subarray(start, end)));
    return found && found[1];
}

// Gives a card's claims, its status token, its key's id and what was signed; refuses
// what is no card.
export function readCard(digits) {
    const data = fromDigits(digits);
    if (data.length > 2 * LARGEST_CARD) {
        throw new Fault("the card's text is too long to be one");
    }
    const parts = exactCbor(data);
    if (!Array.isArray(parts) || parts.length !== 4 || !isEmptyMap(parts[1])) {
        throw new Fault("the card is no COSE_Sign1");
    }
    const [protectedPart, , payload, signature] = parts;
    if (![protectedPart, payload, signature].every(isBytes)) {
        throw new Fault("the card is no COSE_Sign1");
    }
    const header = exactCbor(protectedPart);
    if (!hasNumbers(header, [1, 4]) || header.get(1) !== CARD_ALGORITHM) {
        throw new Fault("the card is not signed with Ed25519");
    }
    if (!isBytes(header.get(4)) || header.get(4).length !== 8) {
        throw new Fault("the card does not name its key");
    }
    if (signature.length !== 64) throw new Fault("the signature has not 64 bytes");
    const said = exactCbor(payload);
    return Object.freeze({
        claims: cardClaims(said),
        token: said.get(10),
        key: hexOf(header.get(4)),
        signed: cborList(["Signature1", protectedPart, bytesOf(""), payload]),
        signature,
    });
}

function isSpaceByte(byte) {
    return byte === 0x20 || (byte >= 0x09 && byte <= 0x0d);
}

function fromDigits(digits) {
    const out = [];
    for (let at = 0; at < digits.length; at += 17) {
        const group = digits.slice(at, at + 17);
        const size = CARD_DIGITS.indexOf(group.length);
        if (size < 1) throw new Fault("the card's text is cut off: read it again");
        let number = BigInt(group);
        const bytes = Array.from({ length: size }, () => {
            const byte = Number(number & 255n);
            number >>= 8n;
            return byte;
        });
        if (number) throw new Fault("the card's digits do not stand for bytes");
        out.push(...bytes.reverse());
    }
    return Uint8Array.from(out);
}

function cardClaims(said) {
    if (!hasNumbers(said, [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10])) {
        throw new Fault("the card does not hold the facts of a card");
    }
    const [version, serial, days, number, model, ...measured] = said.values();
    const [species, mass, makers, index, leaf, token] = measured;
    const isCounted = [version, days, mass, makers, index].every((n) => isCount(n, 0));
    const isPaired = Array.isArray(species) && species.every(isSpecies);
    if (!isCounted || !isPaired || version !== 1 || days >= LATEST_DAY) {
        throw new Fault("the card's facts are not of their form");
    }
    if (![serial, number, model].every(isCardLine)) {
        throw new Fault("the card's words hold what no card prints");
    }
    if (![leaf, token].every(isBytes) || leaf.length !== 32 || token.length !== 16) {
        throw new Fault("the card's hash or token has not its length");
    }
    const issued_on = new Date(days * DAY_MILLISECONDS).toISOString().slice(0, 10);
    return { serial, number, model, issued_on, species, mass_g: mass, makers, index };
}

function isSpecies(pair) {
    if (!Array.isArray(pair) || pair.length !== 2) return false;
    return isCardLine(pair[0]) && isCount(pair[1], 0);
}

// Tells whether a value is text that can be shown as it is, on one line.
function isCardLine(value) {
    return typeof value === "string" && !value.includes("\n") && !holdsForbidden(value);
}

function hasNumbers(value, numbers) {
    if (!(value instanceof Map) || value.size !== numbers.length) return false;
    return numbers.every((number) => value.has(number));
}

function isEmptyMap(value) {
    return value instanceof Map && value.size === 0;
}

function isBytes(value) {
    return value instanceof Uint8Array;
}
