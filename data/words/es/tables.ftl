# Qué tan bien apoyada está una cifra.
evidence = { $key ->
    [seen] vista en la fuente
    [seen-secondhand] vista citada en otra parte
    [derived] derivada de cifras vistas
    [memory] de memoria, sin verificar
    [common-practice] práctica común, sin fuente
    [taken-over] tomado del material al que se parece
    [our-default] valor de fábrica nuestro
   *[own] de la granja
}
measure = { $key ->
    [moisture_pct] humedad
    [protein_dm_pct] proteína
    [fat_dm_pct] grasa
    [fibre_dm_pct] fibra
    [lignin_dm_pct] lignina
    [ash_dm_pct] ceniza
    [nfc_dm_pct] carbohidratos no fibrosos
   *[other] { $name }
}

# La tabla de materiales.
streams-title = Materiales
streams-count = { $fed } de { $all } materiales se pueden dar aquí
streams-no-book = Aquí no hay libro: veredictos solo por la composición, sin preguntar ninguna regla de uso.
streams-for = Para larvas como { $larvae } en { $region }. Las reglas de uso son un resumen con fecha: consulte a su autoridad local.
streams-class = clase
streams-protein = proteína % MS
streams-fat = grasa % MS
streams-fibre = fibra % MS
streams-ash = ceniza % MS
streams-keeps = aguanta, días
streams-composition = composición
streams-stands-in = { $composition }, de otra parte
streams-basis = MS: de la materia seca; la humedad es sobre el peso húmedo; `-` es desconocido, no cero. La fibra es lo que midió cada fuente (fibra dietética total, FDN o fibra cruda): vea `trayful streams MATERIAL`. Los márgenes que deben cumplir, y de dónde salen: `trayful stages`.
streams-labels = La etiqueta es de la composición, la más débil de sus cifras. De { $all } tiempos de conservación, { $keeping } son valores de fábrica nuestros; de las dispersiones, { $derived } son derivadas y { $ours } valores de fábrica nuestros. «De otra parte»: las cifras son de otra parte o tipo. `trayful streams MATERIAL` etiqueta cada cifra.
streams-taken-as = «{ $word }» es este material: `weigh` lo toma como { $stream }.
streams-several = «{ $word }» puede ser cada uno de estos
streams-near = Nada se llama «{ $word }»; lo que se le parece
streams-name-one = `weigh` no elige ninguno por su cuenta. Nombre el que sea, como --stream { $stream }.

# Un material.
stream-title = { $name } ({ $id }), clase { $class }
stream-stand-in = las cifras de { $of } se toman por las de { $part }
stream-stands-in = De otra parte: { $stand_in }.
stream-source = Fuente ({ $evidence }): { $citation }
stream-source-own = Fuente: { $source }
figure = cifra
figure-value = valor
figure-spread = ± una d. e.
figure-is = la cifra es
figure-spread-is = la dispersión es
figure-moisture = humedad, base húmeda
figure-of-dry-matter = { $measure }, de la materia seca
figure-reckoned = calculada
figure-tested = medida
figure-unknown = desconocida
figure-carbon-to-nitrogen = C:N en peso
figure-density = densidad aparente
figure-inedible = { $kind }, del peso fresco
figure-keeps = aguanta, al ambiente
figure-days = { $days } días
figure-price = precio por kg
figure-own = de la granja

# Las fases y sus márgenes.
stages-title = Las fases y sus márgenes
stages-windows = Los márgenes son lo preferido, los límites no se pasan. Nada de lo visto muestra que las larvas conviertan mejor dentro de los márgenes que fuera; mantienen la comida en lo que se ha usado para criar larvas.
stages-stage = { $name }, del día { $from } al { $to }
stages-compared = Qué se comparó
stages-measure = medida
stages-study = estudio
stages-result = qué se comparó, y qué resultó
stages-all = todas juntas
stages-no-n = no se dice
stages-found = { $compared }: { $result } ({ $evidence })
stages-no-study = Esta tabla de fases no nombra ningún estudio.
stages-none-found = No se encontró estudio para: { $measures }.
stages-window = margen
stages-limit = límite
stages-from = de
range-from = desde { $bound }
range-to = hasta { $bound }
caution-density = `{ $id }`: densidad aparente { $own } kg/m3 en la tabla de la granja frente a { $known } en la de fábrica, { $times } veces; pese un cubo lleno de volumen conocido
limit-of = { $label ->
    [our-default] valor de fábrica nuestro
   *[stage-table] de la tabla de etapas
}
stream-source-like = Fuente: como { $stream }, propio
stream-own-kept = Guardado como r{ $seq }. `weigh` lo acepta desde ahora. Para anularlo: trayful strike r{ $seq } --why MOTIVO
