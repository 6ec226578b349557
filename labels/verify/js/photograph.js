// A photograph that somebody has of the instrument, against those of its certificate.

import { bench } from "./bench.js";
import { hexOf } from "./bytes.js";
import { sha256 } from "./crypt.js";
import { readOpened } from "./open.js";
import { sayingOf } from "./rows.js";
import { showCompared } from "./show.js";

// Says whether a file that somebody opened is one of the certificate's photographs.
export async function comparePhotograph(file) {
    const { photographs } = bench;
    const { data, answer } = await readOpened(file);
    if (answer) {
        showCompared([sayingOf(answer.reasons[0])]);
        return;
    }
    const place = photographs.indexOf(hexOf(await sha256(data)));
    // The paper may have changed while the file was read.
    if (bench.photographs === photographs) {
        showCompared([sayingOf(place < 0
            ? `This file is none of the ${photographs.length} photographs of the ` +
                `certificate. A copy that was saved anew has another digest.`
            : `This file is photograph ${place + 1} of ${photographs.length} of the ` +
                `certificate, to the last bit: now compare it with the instrument.`)]);
    }
}
