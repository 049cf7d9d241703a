// Saves reloads; every page works without it.

const part = async (form, body, headers = {}) => {
  const answer = await fetch(form.action, { method: "POST", body, headers, credentials: "same-origin" });
  return [answer, await answer.text()];
};
const parsed = (text) => new DOMParser().parseFromString(text, "text/html");
const say = (form, text) => {
  const line = form.querySelector("[data-progress]") ?? document.querySelector("[data-progress]");
  if (line) line.textContent = text;
};

// Doubts: keep an answer without loading all pictures again, then go to the next open one.
const step = async (event) => {
  const form = event.target.closest("form[data-step]");
  if (!form) return;
  event.preventDefault();
  const article = form.closest("article");
  const [answer, text] = await part(form, new FormData(form, event.submitter));
  const page = parsed(text);
  const changed = page.getElementById(article.id);
  if (!answer.ok || !changed) {
    complain(form, page);
    return;
  }
  article.querySelector("[data-answer]").replaceWith(changed.querySelector("[data-answer]"));
  for (const id of ["left", "finish"]) {
    document.getElementById(id).replaceWith(page.getElementById(id));
  }
  counts(page);
  goOn(article);
};
const complain = (form, page) => {
  form.querySelector(".said")?.remove();
  const said = document.createElement("p");
  said.className = "said fault";
  said.setAttribute("role", "alert");
  said.textContent = page.querySelector(".fault")?.textContent ?? "That did not work. Load the page anew.";
  form.append(said);
  form.querySelector("input[name=typed]")?.select();
};
const counts = (page) => {
  for (const count of document.querySelectorAll("[data-count]")) {
    const fresh = page.querySelector(`[data-count="${count.dataset.count}"]`);
    if (fresh) count.textContent = fresh.textContent;
  }
};
const goOn = (article) => {
  const answers = [...document.querySelectorAll("[data-answer]")];
  const here = answers.indexOf(article.querySelector("[data-answer]"));
  const next = [...answers.slice(here), ...answers.slice(0, here)].find((one) => "open" in one.dataset);
  const target = next
    ? next.querySelector("input[name=typed], .guess, .box, button")
    : document.querySelector("#finish button");
  target?.focus();
  (next ?? target)?.closest("article, form")?.scrollIntoView({ block: "center" });
};
document.addEventListener("submit", step);

// Intake: one file after the other, each with its result as soon as it is known.
const drop = document.querySelector("[data-drop]");
const send = async (form, files) => {
  const list = document.getElementById("arrivals");
  let done = 0;
  for (const file of files) {
    say(form, `Reading ${done + 1} of ${files.length}: ${file.name}`);
    const body = new FormData(form);
    body.delete("files");
    body.append("files", file);
    const [answer, text] = await part(form, body, { "X-Part": "arrivals" });
    if (!answer.ok) {
      say(form, parsed(text).querySelector(".fault, main p")?.textContent ?? "That did not work.");
      return;
    }
    if (!list.querySelector(".arrival")) list.replaceChildren();
    list.prepend(...parsed(`<ul>${text}</ul>`).querySelectorAll("li"));
    done += 1;
  }
  say(form, `${done} done.`);
  form.reset();
};
if (drop) {
  for (const hint of drop.querySelectorAll("[data-script]")) hint.hidden = false;
  drop.addEventListener("submit", (event) => {
    event.preventDefault();
    send(drop, [...drop.elements.files.files]);
  });
  document.addEventListener("dragover", (event) => {
    event.preventDefault();
    drop.classList.add("over");
  });
  document.addEventListener("dragleave", () => drop.classList.remove("over"));
  document.addEventListener("drop", (event) => {
    event.preventDefault();
    drop.classList.remove("over");
    send(drop, [...event.dataTransfer.files]);
  });
}

// Phone: a shot is sent as soon as it is taken.
const camera = document.querySelector("[data-camera]");
camera?.classList.add("auto");
camera?.addEventListener("change", () => {
  say(camera, "Looking at it …");
  camera.requestSubmit();
});
