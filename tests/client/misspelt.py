"""A script of a user, with six misspelt names; test_typed_scripts.py reads the marks."""

from kettlewright_client import Client
from kettlewright_client.inputs import FatInput

fat: FatInput = {"fat": "olive", "mas": 700}  # WRONG: mas
with Client("http://127.0.0.1:8000") as client:
    client.lye(fats=[{"fat": "olive", "mass": 700}], supefat_pct=5,  # WRONG: supefat_pct
               alkalis=[{"alkali": "NaOH"}], water={"water_to_alkali": 2.1})
    lye = client.lye(fats=[fat], superfat_pct=5, alkalis=[{"alkali": "NaOH"}], water={"water_to_alkali": 2.1})
    print(lye.superfat.achived_pct)  # WRONG: achived_pct
    batch = client.batches(recipe={"fats": [fat], "alkalis": [{"alkali": "NaOH"}], "water": {"water_to_alkali": 2.1}},
                           mould={"shape": "box", "length": 250, "width": 80, "depth": 70})
    client.batches(recipe=batch.recipe, mould={"shape": "box", "lenght": 250, "width": 8, "depth": 7})  # WRONG: lenght
    print(batch.need("cutts"))  # WRONG: cutts
    print(client.form("cuts", "svgg", {"block": {"length": 1, "width": 1, "height": 1},  # WRONG: svgg
                                       "bar": {"count": 1}}))
