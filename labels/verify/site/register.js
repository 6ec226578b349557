// Asks the browser to keep this page. One that will not, or that opened it from a file,
// goes without: the page is the same. Cards point to it without a slash at its end, and
// some hosts give it out so; the worker lies beside its folder, and is for it alone.
if (navigator.serviceWorker && location.protocol !== "file:") {
    const above = location.pathname.replace(/\/v(\/(index\.html)?)?$/, "/");
    navigator.serviceWorker
        .register(`${above}v-keep.js`, { scope: `${above}v` }).catch(() => {});
}
