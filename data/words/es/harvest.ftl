# Cuidados al cosechar; se remiten a las reglas locales.
caution-dust = use mascarilla y protección de ojos al cribar, y mueva el aire. Vaya al médico al primer silbido o sarpullido. Cribar levanta polvo (cuánto: práctica común, sin fuente). El polvo de insectos causa alergia (NIOSH halló síntomas en una cuarta parte del personal de cría de insectos, MMWR 1984 33(31)).
caution-gases = ventile antes de entrar y mientras trabaja. Los locales cerrados con larvas acumulan amoníaco y dióxido de carbono (límites de NIOSH: amoníaco 25 ppm; de OSHA: dióxido de carbono 5000 ppm, ambos por turno).
caution-sharps = use herramientas y guantes anticorte, nunca las manos desnudas: puede haber objetos cortantes en el residuo.
caution-sold = las larvas y el frass que se venden pueden requerir tratamiento térmico, secado y registro (en la UE el frass se trata como estiércol, 70 °C durante 60 minutos, Reglamento (UE) 2021/1925). Pregunte a su autoridad local antes de la primera venta.

# Lo que las cohortes sacaron de su alimento.
yields-title = Cosechas por cohorte
yields-in-all = { $larvae } de larvas de { $cohorts ->
    [one] { $cohorts } cohorte
   *[other] { $cohorts } cohortes
}
yields-ended = acabó
yields-on-trays = en bandejas
yields-fed-dry = dado, seco
yields-bioconversion = bioconversión %
yields-reduction = reducción %
yields-fcr-dry = FCR seco
yields-survival = supervivencia %
yields-none-yet = Aún no se cosechó ninguna cohorte.
yields-next = Ahora: trayful harvest COHORTE --larvae 20lb --sample 100=15.2 --residue 25lb --last
yields-dash = Una raya: sin cifra, porque algo que necesita no se pesó, contó o probó. La hoja de cada cohorte (trayful harvest COHORTE) dice qué.
yields-basis = Proteína de las larvas por { $factor }; { $start }. Los números con * salen de una muestra.
yields-own-start = Donde se pesó al inicio una muestra de la cohorte, cuenta su propio peso inicial.
yield-title = Cohorte { $cohort }: lo que sacó de su alimento
yield-in-all = { $larvae } de larvas con { $fed } de alimento
yield-no-feed = { $larvae } de larvas; no se anotó ninguna comida suya
yield-ended = { $nights ->
    [one] Eclosión { $hatched }, acabó el { $day } ({ $why }); alimentada { $nights } noche.
   *[other] Eclosión { $hatched }, acabó el { $day } ({ $why }); alimentada { $nights } noches.
}
yield-on-trays = { $nights ->
    [one] Eclosión { $hatched }, en sus bandejas; alimentada { $nights } noche.
   *[other] Eclosión { $hatched }, en sus bandejas; alimentada { $nights } noches.
}
yield-fed = Dado { $fed } ({ $dry }).
yield-fed-moisture = Dado { $fed } ({ $dry }, { $pct } % de humedad).
yield-dry = { $weight } de materia seca
yield-dry-unknown = materia seca desconocida, porque falta la humedad de un lote
yield-parts = De ello: { $parts }.
yield-shared = El alimento de un grupo se reparte entre sus cohortes según la materia seca que tocaba a cada una (nuestra regla, como en la hoja).
yield-nothing-harvested = Aún no se cosechó nada.
yield-figures = Cifras
yield-check = Revise: { $doubt }
yield-meanings = Qué quiere decir cada cifra
yield-meaning = { $name }: { $definition }; { $equation } ({ $citation }; { $evidence }).
yield-count = número
yield-dead = muertas
yield-unit = unidad
yield-basis = base
yield-lacks = Aún sin cifra de { $names }: { $lacks }.
yield-lacks-meals = Aún no hay otra cifra: anote lo que comieron, y se calcula desde entonces.
harvested = cosechado
residue = residuo
residue-to-head = residuo a
residue-to = { $to ->
    [kept] se queda
    [sold] se vende
    [land] al campo
    [composted] compost
    [digestion] digestor
   *[landfilled] vertedero
}
weight-impossible = demasiado para ser cierto

# Lo que le falta a una cifra de conversión.
lacks = { $what ->
    [feed-moisture] no se sabe la humedad de un lote dado
    [feed-protein] no se sabe la proteína de un lote dado
    [larvae-moisture] no se sabe la humedad de las larvas
    [larvae-nitrogen] no se sabe el nitrógeno de las larvas
    [residue-weight] no se pesó el residuo
    [residue-moisture] no se sabe la humedad del residuo
    [start-count] no se sabe cuántas larvas había al inicio
    [end-count] no se sabe cuántas larvas se cosecharon
    [days] no se saben los días
    [nothing-fed] no se dio nada
    [nothing-harvested] no se cosechó nada
    [nothing-gained] las larvas no ganaron materia seca
    [nothing-gone] no desapareció materia seca del alimento
   *[not-a-number] un dato no es un número finito
}

# El peso inicial de las larvas, y por qué se multiplica su nitrógeno.
start-subtracted = se resta un peso inicial de { $mg_dry } mg de materia seca por cada larva puesta en bandejas
start-measured = se resta un peso inicial de { $dry } mg de materia seca por cada larva puesta en bandejas (su propia muestra, { $fresh } mg fresca, { $pct } % seca: Fuhrmann et al. 2024)
start-usual = se resta un peso inicial de { $mg_dry } mg de materia seca por cada larva puesta en bandejas (Gold et al. 2020; en otros se midió de 0.30 a 3.28 mg: pese una muestra contada)
start-left-out = no se resta el peso inicial
nitrogen = N x { $factor } ({ $what })
nitrogen-usual = usual en análisis de alimentos, exagera en larvas
nitrogen-whole-larvae = larvas enteras
nitrogen-extract = proteína extraída
nitrogen-later = una alternativa posterior
nitrogen-transposed = de la granja; un conjunto publicado tiene 4.67 donde quería decir 4.76: revíselo

# Lo que no puede ser, y qué revisar.
conversion-dry-above-wet = { $dry } de materia seca en { $wet } dados. Revise las humedades de lo que se dio
conversion-residue-above-fed = el residuo tiene { $residue } de materia seca y se dieron { $fed }. Revise el peso y la humedad del residuo, y que esté anotado el alimento de cada noche y la cama, si la hubo
conversion-gain-above-gone = las larvas ganaron { $gain } de materia seca y del alimento solo desaparecieron { $gone }. Revise la humedad de larvas y residuo, y que esté anotado el alimento de cada noche
conversion-nothing-gained = las larvas ganaron { $gain } de materia seca. Revise el peso, la humedad y el número de larvas, y el peso inicial
conversion-more-larvae = { $dead ->
    [0] { $ended } larvas cosechadas, { $began } puestas en bandejas. Revise el número inicial y cuente una muestra mayor
   *[other] { $ended } larvas cosechadas y { $dead } vistas muertas, { $began } puestas en bandejas. Revise el número inicial y cuente una muestra mayor
}
conversion-protein-above-dry = la proteína de las larvas sale al { $pct } % de su materia seca. Revise el nitrógeno, que va en % de la materia seca, y el factor

# Las cifras de conversión. F es la materia seca dada, R la del residuo, B la ganada, N un número, t días.
metric-name = { $metric ->
    [substrate_reduction_pct] reducción del sustrato
    [waste_reduction_index] índice de reducción de residuos
    [bioconversion_pct] tasa de bioconversión
    [digested_conversion_pct] conversión del alimento digerido (ECD)
    [fcr_dry] conversión alimenticia, seca
    [fcr_fresh] conversión alimenticia, fresca
    [survival_pct] supervivencia
    [protein_conversion_pct] conversión de proteína
   *[metabolised_pct] metabolizado
}
metric-definition = { $metric ->
    [substrate_reduction_pct] parte de la materia seca dada que no está en el residuo
    [waste_reduction_index] reducción del sustrato por día. A veces se publica con este nombre un simple porcentaje, sin dividir por los días
    [bioconversion_pct] materia seca que ganaron las larvas, sobre todo lo puesto en bandejas, de la materia seca dada. Las larvas muertas cuentan como peso perdido
    [digested_conversion_pct] materia seca que ganaron las larvas, de la materia seca que desapareció
    [fcr_dry] materia seca dada por kilogramo de materia seca ganada
    [fcr_fresh] alimento tal como se dio por kilogramo de larvas frescas cosechadas. No se resta el peso inicial de las larvas
    [survival_pct] larvas cosechadas de las larvas puestas en bandejas
    [protein_conversion_pct] proteína en la materia seca ganada, de la proteína bruta dada. La proteína de las larvas es el nitrógeno por el factor impreso. Se toma que al inicio tenían la misma parte que al final
   *[metabolised_pct] materia seca dada que no está ni en el residuo ni en la ganancia: lo que salió como gas, con todos los errores de los pesos
}
metric-equation = { $metric ->
    [substrate_reduction_pct] (F - R) / F x 100
    [waste_reduction_index] (F - R) / F / t x 100
    [bioconversion_pct] B / F x 100, B = larvas secas - N inicial x peso inicial
    [digested_conversion_pct] B / (F - R) x 100
    [fcr_dry] F / B
    [fcr_fresh] alimento húmedo / larvas húmedas
    [survival_pct] N final / N inicial x 100
    [protein_conversion_pct] B x parte de N x factor / proteína dada x 100
   *[metabolised_pct] (F - R - B) / F x 100
}
metric-basis = { $metric ->
    [substrate_reduction_pct] materia seca
    [waste_reduction_index] materia seca
    [bioconversion_pct] materia seca
    [digested_conversion_pct] materia seca
    [fcr_dry] alimento seco, larvas secas
    [fcr_fresh] alimento como se dio, larvas como se cosecharon
    [survival_pct] número
    [protein_conversion_pct] materia seca
   *[metabolised_pct] materia seca, por balance
}
metric-unit = { $metric ->
    [substrate_reduction_pct] %
    [waste_reduction_index] % al día
    [bioconversion_pct] %
    [digested_conversion_pct] %
    [fcr_dry] kg/kg
    [fcr_fresh] kg/kg
    [survival_pct] %
    [protein_conversion_pct] %
   *[metabolised_pct] %
}
