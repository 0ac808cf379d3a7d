# Cautions at a harvest; they defer to local rules.
caution-dust = sieving frass makes dust (common practice to guard against, no source for how much). Insect dust causes allergy (NIOSH found symptoms in a quarter of insect-rearing staff, MMWR 1984 33(31)). Wear a mask and eye protection, keep the air moving, and see a doctor at the first wheeze or rash.
caution-gases = closed rooms of larvae gather ammonia and carbon dioxide (NIOSH limits: ammonia 25 ppm, OSHA: carbon dioxide 5,000 ppm, both over a shift). Air the room before you enter and while you work.
caution-sharps = sharps may lie in the residue: use tools and cut gloves, never bare hands.
caution-sold = larvae and frass that are sold may need heat treatment, drying and registration (in the EU frass is treated as manure, 70 °C for 60 minutes, Regulation (EU) 2021/1925). Ask your local authority before the first sale.
