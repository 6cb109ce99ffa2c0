/** Lets the browser keep peelside as an app. Without HTTPS that is trusted it can't, and the page works all the same. */
const workers = 'serviceWorker' in navigator ? navigator.serviceWorker : null;
workers?.register('worker.js').catch(() => {});
