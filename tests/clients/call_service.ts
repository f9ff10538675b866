// A client whose types come from openapi.yaml: a lye request, a whole batch, and a problem.
import assert from "node:assert/strict";
import createClient from "openapi-fetch";
import type { components, paths } from "./contract.js";

const address = process.argv[2];
if (address === undefined) throw new Error("usage: node call_service.js http://127.0.0.1:8000");
const service = createClient<paths, "application/json" | "application/problem+json">({ baseUrl: address });

const recipe: components["schemas"]["RecipeInput"] = {
  fats: [{ fat: "olive", share_pct: 70 }, { fat: "coconut", share_pct: 30 }],
  superfat_pct: 5,
  alkalis: [{ alkali: "NaOH", purity_at_least_pct: 98 }],
  water: { water_to_alkali: 2.1 },
};

const lye = await service.POST("/v1/lye", {
  body: { ...recipe, fats: [{ fat: "olive", mass: 700 }, { fat: "coconut", mass: 300 }] },
});
assert(lye.data, JSON.stringify(lye.error));
const alkali = lye.data.alkalis[0];
assert(alkali);
console.log(`lye: ${alkali.weigh} ${lye.data.units.mass} of ${alkali.name}, ${lye.data.superfat.achieved_pct} % superfat`);

const batch = await service.POST("/v1/batches", {
  body: { recipe, mould: { shape: "box", length: 250, width: 80, depth: 70, headspace: 5 }, cut: { bar: { count: 9 } } },
});
assert(batch.data, JSON.stringify(batch.error));
const bars: number | undefined = batch.data.cuts?.bars?.count;
assert.equal(bars, 9);
console.log(`batch: plan ${batch.data.identity}, ${bars} bars, ${batch.data.weigh_list.length} rows to weigh`);

const misspelt: components["schemas"]["LyeRequest"] = {
  ...recipe,
  fats: [{ fat: "olive", mass: 700 }],
  // @ts-expect-error: a misspelt key does not compile
  supefat_pct: 5,
};
const refused = await service.POST("/v1/lye", { body: misspelt });
assert(refused.error);
assert.equal(refused.response.status, 422);
const error = refused.error.errors[0];
assert(error);
const code: components["schemas"]["ErrorCode"] = error.code;
assert.equal(code, "unknown_field");
console.log(`problem: ${error.pointer}: ${error.detail}`);
