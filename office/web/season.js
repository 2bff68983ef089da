// The report of a month: a button to print it. Without this script one prints as any page.
const button = document.querySelector("#print");
button?.addEventListener("click", () => print());
button?.removeAttribute("hidden");
