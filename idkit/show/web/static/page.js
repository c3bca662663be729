// What the page does better with a script; without it every form still works.
"use strict";

const LARGEST = 12e6;       // pixels of a photo that is sent as it is
const LIMIT = 30e6;         // bytes that the machine takes at once
const main = document.querySelector("main");
const news = document.querySelector("#news");
document.documentElement.classList.add("script");

// The photo with at most 12 megapixels, upright, its colours turned to sRGB by its own profile; as it was if smaller.
async function shrunk(file) {
  let photo;
  try { photo = await createImageBitmap(file, { imageOrientation: "from-image" }); } catch { return file; }
  const scale = Math.sqrt(LARGEST / (photo.width * photo.height));
  if (scale >= 1) return file;
  const canvas = document.createElement("canvas");
  canvas.width = Math.floor(photo.width * scale);
  canvas.height = Math.floor(photo.height * scale);
  const paint = canvas.getContext("2d");
  paint.imageSmoothingQuality = "high";
  paint.drawImage(photo, 0, 0, canvas.width, canvas.height);
  photo.close();
  const small = await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.95));
  return small ? new File([small], file.name, { type: "image/jpeg" }) : file;
}

async function filled(form, button) {
  const data = new FormData(form);
  if (button && button.name && button.type !== "image") data.append(button.name, button.value);
  if (!form.matches("[data-photos]")) return data;
  const photos = data.getAll("photo").filter((file) => file.size);
  data.delete("photo");
  let bytes = 0;
  for (const file of photos) {
    const small = await shrunk(file);
    bytes += small.size;
    data.append("photo", small, file.name);
  }
  if (bytes > LIMIT) throw new Error("The photos are larger than 30 MB together. Send fewer, or smaller ones.");
  return data;
}

// A thumb that taps twice answers what it saw, not what came under it meanwhile.
const SOON = 700, BESIDE = 80;   // milliseconds, pixels
let last = { time: -SOON, x: 0, y: 0 }, changed = 0;
main.addEventListener("click", (event) => {
  if (!event.detail || !event.isTrusted) return;   // of a keyboard, or of a script
  const here = { time: performance.now(), x: event.clientX, y: event.clientY };
  const again = here.time - last.time < SOON && Math.hypot(here.x - last.x, here.y - last.y) < BESIDE;
  const unseen = again && changed > last.time;
  last = unseen ? { ...last, x: here.x, y: here.y } : here;
  if (!unseen) return;
  event.preventDefault();
  event.stopImmediatePropagation();
}, true);

// Show an answer of the machine in place of what is shown now.
async function show(answer) {
  const page = new DOMParser().parseFromString(await answer.text(), "text/html");
  main.replaceChildren(...page.querySelector("main").childNodes);
  document.title = page.title;
  const path = new URL(answer.url).pathname + new URL(answer.url).search;
  if (answer.ok && path !== location.pathname + location.search) history.pushState(null, "", path);
  changed = performance.now();
  news.textContent = "";
  scrollTo(0, 0);
  main.focus({ preventScroll: true });
  ready();
}

async function go(address, options, told) {
  news.textContent = told;
  for (const button of main.querySelectorAll("button")) button.disabled = true;
  try {
    await show(await fetch(address, options));
  } catch (error) {
    news.textContent = error instanceof TypeError ? "The machine can't be reached. Nothing is lost: try again." : error.message;
    for (const button of main.querySelectorAll("button")) button.disabled = false;
  }
}

async function send(form, button, tap) {
  try {
    const data = await filled(form, button);
    for (const [name, value] of tap || []) data.set(name, value);
    const plain = form.enctype === "multipart/form-data" ? data : new URLSearchParams(data);
    await go(form.action, { method: "POST", body: plain }, form.matches("[data-photos]") ? "Sending ..." : "");
  } catch (error) {
    news.textContent = error.message;
  }
}

main.addEventListener("submit", (event) => {
  const form = event.target;
  if (form.method !== "post") return;
  event.preventDefault();
  if (!form.matches("[data-tap]")) send(form, event.submitter);
});

main.addEventListener("click", (event) => {
  const photo = event.target.closest("[data-tap] input[type=image]");
  if (!photo) return;
  event.preventDefault();
  const box = photo.getBoundingClientRect();
  const place = { "tap.x": event.clientX - box.left, "tap.y": event.clientY - box.top, wide: box.width, high: box.height };
  send(photo.form, null, Object.entries(place).map(([name, value]) => [name, Math.max(0, Math.round(value))]));
});

main.addEventListener("change", (event) => {
  if (event.target.type === "file" && event.target.files.length) send(event.target.form);
});

addEventListener("popstate", () => location.reload());

function ready() {
  if (main.querySelector("[data-again]")) {
    const here = location.href;
    setTimeout(() => { if (location.href === here && main.querySelector("[data-again]")) go(here, {}, ""); }, 1000);
  }
}
ready();
