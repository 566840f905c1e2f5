"""A script as a user writes it: both type checkers are content with it."""

import glazecalc as gc

materials = gc.load_materials("notebooks/studio/materials")
recipe = gc.read_recipe("notebooks/studio/recipes/harbour-black.txt")
unity = gc.unity_formula(recipe, materials, convention=gc.Convention(iron_as_feo=True))
silica: float = unity["SiO2"]
ratio: float | None = unity.silica_alumina_ratio
report = gc.check(recipe, materials, cone="6", use="plate")
expansion: gc.Estimate = gc.expansion(report.fired, temperature_range_c=(20, 400))
plain = gc.expansion({"SiO2": 70.0, "Na2O": 30.0}, basis="weight percent")
batch = gc.scale(recipe, all_in_g=5000)
outcome = gc.substitute(recipe, materials, without=["potash feldspar"], also=["soda feldspar"])
titles: list[str] = [caution.title for answer in outcome.answers for caution in answer.new_cautions]
lead = gc.ReleaseResult(element="Pb", value=0.03, unit="mg/dm2", below=True)
lab = gc.lab_report([lead], gc.Ware(kind="plate", depth_mm=18, area_dm2=2.8), where=("eu", "us"))
standings: list[str] = [row.standing for row in lab.rows]
