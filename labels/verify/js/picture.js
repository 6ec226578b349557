// Pictures: how large one is, before anything draws it, and the square in it. A small
// file can stand for a picture that fills all memory, and its head says so.
// Source: PNG (W3C) 11.2.1; JPEG, ITU-T T.81 B.2.2; WebP, RFC 9649; GIF89a 18 and 20.

import { CANNOT_TELL, answerOf, unreadAnswer } from "./answer.js";
import { breather, bytesOf } from "./bytes.js";
import { cardDigits } from "./card.js";
import { beginsWith } from "./pdf.js";

const MOST_PIXELS = 50000000;
// A square may be near or far: a middle size is looked at first, then all there is, and
// then what is between; a small picture is made larger too.
const LONGEST_SIDES = [1600, 3200, 1100, 800];
const SMALL_SIDE = 1600;
const EFFORT = Object.freeze({ effort: 8, timeLimit: 400 });
const LABEL =
    /^(?:https?:\/\/[^/ ]+(?:\/[^/ ]+)*?\/|\/)?([A-Z])\/[^/ ]+(?:\/[0-9]+)?$/i;
const LABELS = Object.freeze({
    B: "it is a board’s label", L: "it is a lot’s card",
    S: "it is an instrument’s build tag", D: "it names a document on file",
    X: "it names a shipment",
});
const OTHER_LABEL = "it is a label of the workshop’s own";

// Gives width and height of a picture as its head says them, or null where it is none.
export function pictureSize(data) {
    const view = new DataView(data.buffer, data.byteOffset, data.byteLength);
    try {
        if (beginsWith(data.subarray(1), "PNG")) {
            return { width: view.getUint32(16), height: view.getUint32(20) };
        }
        if (data[0] === 0xff && data[1] === 0xd8) return sizeOfJpeg(view);
        if (beginsWith(data, "RIFF") && beginsWith(data.subarray(8), "WEBP")) {
            return sizeOfWebp(data, view);
        }
        return beginsWith(data, "GIF8") ? sizeOfGif(view) : null;
    } catch (fault) {
        // A head that is cut off says no size.
        if (!(fault instanceof RangeError)) throw fault;
        return null;
    }
}

// Gives { data } of what is no picture or shows no square, { data } of the text that a
// card's square says, and { answer } of another square or of too large a picture.
export async function readPicture(data) {
    const size = pictureSize(data);
    if (size === null) return { data };
    const pixels = size.width * size.height;
    if (pixels > MOST_PIXELS) {
        return { answer: unreadAnswer(
            `a picture of ${pixels} pixels is not read: ${MOST_PIXELS} are the most`) };
    }
    const text = await squareInPicture(data, size);
    return text === null ? { data } : readSquare(text);
}

// Gives { data } of a card's text, and { answer } of any other square's.
export function readSquare(text) {
    const data = bytesOf(text);
    if (cardDigits(data) !== null) return { data };
    const found = LABEL.exec(text);
    const what = found ? (LABELS[found[1].toUpperCase()] || OTHER_LABEL)
        : "it is no square of a shop’s that this page knows";
    const reason =
        `this square is no owner’s card: ${what}, and nothing in it is signed`;
    return { answer: answerOf(CANNOT_TELL, reason, { kind: "square", square: text }) };
}

// Gives the text of a square among the pixels of a canvas, or null. A browser's own
// reader comes first, where it has one.
export async function squareOn(canvas) {
    const own = await ownReader();
    try {
        const found = own === null ? [] : await own.detect(canvas);
        if (found.length) return found[0].rawValue;
        const { width, height } = canvas;
        const drawn = canvas.getContext("2d").getImageData(0, 0, width, height);
        return squareDecoder.decodeQR(drawn, EFFORT);
    } catch {
        // Both say by a fault that there is no square.
        return null;
    }
}

// Draws a picture, or a camera's, so that its longer side has so many pixels.
export function drawnOn(canvas, source, { width, height }, longest) {
    const scale = longest / Math.max(width, height);
    canvas.width = Math.max(1, Math.round(width * scale));
    canvas.height = Math.max(1, Math.round(height * scale));
    const ink = canvas.getContext("2d", { willReadFrequently: true });
    ink.imageSmoothingQuality = "high";
    ink.drawImage(source, 0, 0, canvas.width, canvas.height);
    return canvas;
}

async function squareInPicture(data, size) {
    const longest = Math.max(...LONGEST_SIDES);
    const longer = size.width > size.height ? "resizeWidth" : "resizeHeight";
    const smaller = Math.max(size.width, size.height) > longest
        ? { [longer]: longest, resizeQuality: "medium" } : {};
    let picture;
    try {
        picture = await createImageBitmap(new Blob([data]), smaller);
    } catch {
        // It is torn, and no picture then.
        return null;
    }
    const canvas = document.createElement("canvas");
    for (const side of sidesOf(picture)) {
        await breather();
        const text = await squareOn(drawnOn(canvas, picture, picture, side));
        if (text !== null) return text;
    }
    picture.close();
    return null;
}

function sidesOf({ width, height }) {
    const own = Math.max(width, height);
    const sides = LONGEST_SIDES.map((most) => Math.min(most, own));
    const beside = [2 * own, Math.ceil(own / 1.5)];
    return new Set(own > SMALL_SIDE ? sides : [...sides, ...beside]);
}

async function ownReader() {
    try {
        const formats = await BarcodeDetector.getSupportedFormats();
        const reads = formats.includes("qr_code");
        return reads ? new BarcodeDetector({ formats: ["qr_code"] }) : null;
    } catch {
        // Not every browser has one.
        return null;
    }
}

// Looks from marker to marker for the start of a frame; C4, C8 and CC begin tables.
function sizeOfJpeg(view) {
    let at = 2;
    for (;;) {
        const marker = view.getUint16(at);
        if (marker < 0xff01 || marker === 0xffda) return null;
        if (marker === 0xffff) {
            at += 1;
        } else if (marker >= 0xffc0 && marker <= 0xffcf &&
                ![0xffc4, 0xffc8, 0xffcc].includes(marker)) {
            return { width: view.getUint16(at + 7), height: view.getUint16(at + 5) };
        } else {
            at += 2 + view.getUint16(at + 2);
        }
    }
}

function sizeOfWebp(data, view) {
    const first = String.fromCharCode(...data.subarray(12, 16));
    if (first === "VP8X") {
        const three = (at) =>
            1 + view.getUint16(at, true) + 65536 * view.getUint8(at + 2);
        return { width: three(24), height: three(27) };
    }
    if (first === "VP8L") {
        const bits = view.getUint32(21, true);
        return { width: 1 + (bits & 0x3fff), height: 1 + ((bits >>> 14) & 0x3fff) };
    }
    const half = (at) => view.getUint16(at, true) & 0x3fff;
    return { width: half(26), height: half(28) };
}

// A first frame may be larger than the screen that the head tells of.
function sizeOfGif(view) {
    const tableAt = (at) => (view.getUint8(at) & 0x80
        ? 3 * 2 ** ((view.getUint8(at) & 7) + 1) : 0);
    let at = 13 + tableAt(10);
    while (view.getUint8(at) === 0x21) {
        at += 2;
        while (view.getUint8(at)) at += 1 + view.getUint8(at);
        at += 1;
    }
    const far = (from, size) => view.getUint16(at + from, true) +
        view.getUint16(at + size, true);
    const [width, height] = [view.getUint16(6, true), view.getUint16(8, true)];
    return { width: Math.max(width, far(1, 5)), height: Math.max(height, far(3, 7)) };
}
