// The camera: looks for a card's square until it finds one, is stopped, or has looked
// for a minute. Its picture goes nowhere but to this page.

import { drawnOn, squareOn } from "./picture.js";

const LONGEST_LOOK = 60000;
const BETWEEN_LOOKS = 120;
const LONGEST_SIDE = 1280;
const WANTED = Object.freeze({
    audio: false,
    video: { facingMode: { ideal: "environment" }, width: { ideal: 1280 } },
});
const camera = { stream: null, ends: 0 };

// Tells whether this page may ask for a camera at all.
export function hasCamera() {
    return Boolean(globalThis.isSecureContext && navigator.mediaDevices?.getUserMedia);
}

// Looks until a square is found, and gives { text }: null where somebody stopped it, or
// the minute is over, which it tells. Throws what the browser says where there is no
// camera to look by.
export async function lookForSquare() {
    stopLooking();
    const stream = await navigator.mediaDevices.getUserMedia(WANTED);
    const video = document.getElementById("seen");
    camera.stream = stream;
    camera.ends = performance.now() + LONGEST_LOOK;
    document.getElementById("viewer").hidden = false;
    document.getElementById("stop").focus();
    video.srcObject = stream;
    try {
        await video.play();
        return await foundIn(video, stream);
    } finally {
        if (camera.stream === stream) stopLooking();
    }
}

// Stops the camera, and lets go of it.
export function stopLooking() {
    if (camera.stream === null) return;
    for (const track of camera.stream.getTracks()) track.stop();
    camera.stream = null;
    document.getElementById("seen").srcObject = null;
    document.getElementById("viewer").hidden = true;
}

async function foundIn(video, stream) {
    const canvas = document.createElement("canvas");
    let looks = 0;
    while (camera.stream === stream && performance.now() < camera.ends) {
        if (video.videoWidth) {
            const size = { width: video.videoWidth, height: video.videoHeight };
            const whole = Math.min(LONGEST_SIDE, Math.max(size.width, size.height));
            // Every other look is a coarser one, which reads through a blur.
            const side = looks % 2 ? Math.ceil(whole / 1.5) : whole;
            looks += 1;
            const text = await squareOn(drawnOn(canvas, video, size, side));
            const isLooking = camera.stream === stream;
            if (text !== null && isLooking) return { text, isOver: false };
        }
        await new Promise((done) => { setTimeout(done, BETWEEN_LOOKS); });
    }
    return { text: null, isOver: camera.stream === stream };
}
