// What a host page may do: words of its own, parts of the request nobody is asked for, and the plan as an event.
const element = document.querySelector("kettlewright-batch");

element.dataset.strings = JSON.stringify({ pot_says: "First, the pot: which fats, and how much of each?" });
element.extra = { residue: { pot: 15, portion: 4 } };
element.addEventListener("batch-planned", ({ detail }) => {
  document.title = `Hollow Step Soap: ${detail.weigh_list.length} things to weigh`;
});
