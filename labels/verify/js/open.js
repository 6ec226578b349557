// How files and texts come in: refused by their size before they are read, and read in
// slices, so that the page goes on answering.

import { unreadAnswer } from "./answer.js";
import { LARGEST_READ, bytesOf } from "./bytes.js";

const UNREADABLE = "this file could not be read: open it again";
const LONGEST_TEXT = 1048576;
const LONGEST_ADDRESS = 2048;
const ONE_SLICE = 2 * 1048576;

// A card's text when all blanks are gone, its address before it or not.
const CARD_ALONE = /^(?:(?:https:\/\/[!"$-~]{1,253}\/)?v#)?[0-9]+$/i;

function tooLarge(what, size, most) {
    return unreadAnswer(`${what} of ${size} bytes is not read: ${most} are the most`);
}

// Gives { data } of a file, or { answer } where it is too large or cannot be read.
export async function readOpened(file) {
    if (file.size > LARGEST_READ) {
        return { answer: tooLarge("a file", file.size, LARGEST_READ) };
    }
    const data = new Uint8Array(file.size);
    for (let at = 0; at < file.size; at += ONE_SLICE) {
        const slice = file.slice(at, Math.min(at + ONE_SLICE, file.size));
        try {
            data.set(new Uint8Array(await slice.arrayBuffer()), at);
        } catch {
            return { answer: unreadAnswer(UNREADABLE) };
        }
    }
    return { data };
}

// Gives { data } of a text typed or pasted, or { answer } where it is too long. Of a
// card the blanks count for nothing, and bare digits are one without its address; of
// an object, a line's end behind it was put there by whoever copied it.
export function readTyped(text) {
    if (text.length > LONGEST_TEXT) {
        return { answer: tooLarge("a text", text.length, LONGEST_TEXT) };
    }
    const bare = text.replace(/\s+/g, "");
    let meant = text.startsWith("{") ? text.replace(/\n$/, "") : text;
    if (CARD_ALONE.test(bare)) {
        meant = bare.includes("#") ? bare : `V#${bare}`;
    }
    return { data: bytesOf(meant) };
}

// Gives { data } of the address's fragment, { answer } where it is too long, and null
// where there is none.
export function readFragment(fragment) {
    if (fragment.length < 2) {
        return null;
    }
    if (fragment.length > LONGEST_ADDRESS) {
        return { answer: tooLarge("an address", fragment.length, LONGEST_ADDRESS) };
    }
    return { data: bytesOf(`V${fragment}`) };
}
