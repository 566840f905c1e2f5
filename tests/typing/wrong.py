"""Slips that a type checker must find: one on each line that is marked."""

import glazecalc as gc

materials = gc.load_materials("notebooks/studio/materials")
recipe = gc.read_recipe("notebooks/studio/recipes/harbour-black.txt")
gc.unity_formla(recipe, materials)  # wrong
gc.check(recipe, materials, use="plat")  # wrong
gc.check(materials, recipe)  # wrong
gc.check("harbour-black.txt", materials)  # wrong
gc.unity_formula(recipe, materials, convention="iron-as-feo")  # wrong
gc.expansion({"SiO2": 70.0, "Na2O": 30.0}, basis="percent")  # wrong
gc.expansion(gc.fired_analysis(recipe, materials), model="apen")  # wrong
gc.scale(recipe, all_in_kg=5)  # wrong
gc.substitute(recipe, materials, prefer="cheapest")  # wrong
gc.Ware(kind="plat")  # wrong
gc.Ware(kind="plate", depth_mm="18 mm")  # wrong
gc.ReleaseResult(element="Pb", value="<0.01", unit="mg/L")  # wrong
