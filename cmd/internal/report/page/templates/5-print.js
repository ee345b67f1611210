// One card or sheet, or all cards, are printed alone by their buttons or by the address:
// #print=card-2, #print=cards.
function printed(what) {
  const wanted = what === "cards" ? document.querySelectorAll(".card") : what ? [document.getElementById(what)] : [];
  document.body.classList.toggle("alone", wanted.length > 0 && wanted[0] !== null);
  for (const section of document.querySelectorAll(".wanted")) section.classList.remove("wanted");
  for (const section of wanted) section?.classList.add("wanted");
}
for (const button of document.querySelectorAll("button.print")) {
  button.hidden = false;
  button.addEventListener("click", () => { printed(button.dataset.print); print(); printed(""); });
}
for (const p of document.querySelectorAll(".printing")) p.hidden = false;
function printedByAddress() {
  const asked = /^#print=([a-z0-9-]+)$/.exec(location.hash);
  if (asked) printed(asked[1]);
}
addEventListener("hashchange", printedByAddress);
printedByAddress();
