// Asks the browser to keep this page. One that will not, or that opened it from a file,
// goes without: the page is the same.
if (navigator.serviceWorker && location.protocol !== "file:") {
    navigator.serviceWorker.register("./keep.js").catch(() => {});
}
