# Lo que vale en un campo; va detrás de «vale:».
accepted-reason = un motivo de 1 a { $most } caracteres
accepted-name = un nombre de 1 a { $most } caracteres
accepted-who = iniciales o un nombre de 1 a { $most } caracteres
accepted-text = un texto de 1 a { $most } caracteres en una línea
accepted-line = de 1 a { $most } caracteres en una línea
accepted-line-or-none = de 1 a { $most } caracteres en una línea, o `none`
accepted-number = un número de { $low } a { $high }
accepted-number-cell = un número de { $low } a { $high }, o vacío
accepted-per-cent = un tanto por ciento de 0 a { $most }
accepted-count = un número entero de { $least } a { $most }
accepted-whole = un número entero de { $least } a { $most }
accepted-day = un día como { $day }
accepted-day-meant = año, mes, día: { $meant }
accepted-day-either = año, mes, día: { $one } o { $other }
accepted-month-meant = año y mes: { $meant }
accepted-day-past = un día como { $today }, no uno por venir
accepted-month = un mes como 2026-10
accepted-month-or-year = un mes como 2026-10, o un año como 2026
accepted-month-to-close = un mes con --close o --version; un año es la suma de sus meses
accepted-instant = un instante como 2026-11-25T18:30:00Z
accepted-time = una hora local como 2026-11-25T18:30, o una con su desfase como 2026-11-25T18:30-07:00
accepted-time-with-offset = una hora con su desfase, como 2026-11-01T01:30-07:00: el cambio de hora salta o repite esta hora local

# Números, pesos y dinero tal como se escriben.
accepted-any-number = un número como 12.5
accepted-whole-number = un número entero como 60000
accepted-one-reading = `{ $one }` o `{ $other }`, el que sea{ $unsaid ->
    [true] ; el ajuste `decimal_mark` de la granja lo aclara para siempre
   *[false] { "" }
}
accepted-if-meant = `{ $meant }`, si es eso
accepted-decimals = decimales, como 0.5 para un medio
accepted-digits = como mucho 15 cifras antes de la coma decimal
accepted-weight = cifras con una coma decimal como mucho, y una unidad, como `32.2lb`
accepted-ounces = libras enteras y menos de 16 oz, como `12lb 3oz`
accepted-unit = lb, oz, kg, g o t
accepted-unit-after = lb, oz, kg, g o t detrás del número
accepted-with-unit = un número con lb, oz, kg, g o t, como `32.2lb` o `12lb 3oz`
accepted-small-letters = letras minúsculas: `g` para gramos, `t` para 1000 kg
accepted-not-ton = lb, kg, o t para 1000 kg (`ton` puede ser 907, 1000 o 1016 kg)
accepted-at-rest = una lectura en reposo, no una de cuando la báscula se movía: pese de nuevo
accepted-no-overload = un peso, no la señal de sobrecarga o de error de la báscula
accepted-up-to-100t = como mucho 100 t en una entrada
accepted-above-zero = un peso mayor que cero
accepted-not-below-zero = un peso no menor que cero
accepted-step = una división de báscula de 1 g a 10 kg
accepted-step-typed = una división de báscula de 1 g a 10 kg, en kg o con su unidad, como 50g
accepted-volume = más de cero litros, como `40L`, o galones de EE. UU., como `5gal`
accepted-litres = litros de 0 a 1000000
accepted-bulk-density = kg/m3 de 1 a 3000
accepted-percentage = un porcentaje de 0 a 100
accepted-nitrogen-factor = un factor de nitrógeno de 3 a 7, como 6.25, 5.65, 5.60 o 4.76
accepted-money = un importe como 96.00, con dos decimales como mucho, hasta 1000000000

# Un cubo, un tique, una corrección.
accepted-scale-marks = marcas como MARCA=SIGNIFICADO, con un espacio entre ellas; significados: { $means }, unidos con +
accepted-scale-port = NOMBRE=PUERTO@VELOCIDAD-FORMA, por ejemplo dock=/dev/ttyUSB0@9600-8N1; el nombre y lo que sigue a @ pueden faltar
accepted-scale-anew = un peso de este balde; este ya fue de otro. Ponga el balde otra vez en la balanza
accepted-stream = un material de la tabla de materiales
accepted-stream-listed = un material de la tabla de materiales; `trayful streams` los enumera
accepted-container = una tara con nombre; se conocen: { $known }
accepted-container-none = una tara con nombre; aún no hay ninguna en el libro: `trayful farm --container NAME=TARE`
accepted-tare = el peso del recipiente vacío (0 si no hay), o un recipiente con nombre
accepted-tare-of-net = 0: `{ $net }` es neto, la báscula quitó el recipiente
accepted-gross = un peso como 32.2lb, o un volumen para estimarlo
accepted-no-density = un peso: no se sabe la densidad aparente de { $id }
accepted-at-most-net = como mucho el peso neto de { $net }
accepted-at-most-gross = como mucho el peso bruto de { $most }
accepted-kind = qué es, como hueso, cáscara, carozo o plástico
accepted-weight-kind = WEIGHT=KIND, como 0.6kg=bone
accepted-ticket-id = un id de 1 a 60 caracteres sin espacios, que no empiece por `#` ni sea `r` con cifras, que nombra un registro
accepted-correction = un proveedor, material, nota o precio distinto de lo que dice el tique
accepted-own-id = un id propio; { $at } lo tiene con otro contenido
place-row = la fila { $row }
place-cell = hoja `{ $sheet }`, celda { $cell }
place-sheet-row = hoja `{ $sheet }`, fila { $row }
accepted-a-ticket = al menos un tique
accepted-likely = una cifra probable, o --sure para todo el archivo
accepted-verdict-cell = feed, pick out, compost, refuse, o vacío
accepted-classes-cell = clases separadas por espacios, o vacío
accepted-yes-no-cell = yes, no, o vacío
accepted-picked-weight = un peso para lo que se apartó

# Un lote, una prueba, un permiso.
accepted-lot = un lote que haya
accepted-feed-lot = un lote que se pueda dar; este es: { $why }
accepted-what-seen = qué se vio, como moho
accepted-parts-weight = el peso de las partes, como 2.1 lb
accepted-dry = un peso seco de 0 hasta el peso húmedo, los dos en gramos
accepted-dried-by = oven (horno) o microwave (microondas)
accepted-ask-first = un material con `preguntar antes`; este está prohibido, y un permiso no lo cambia: { $why }

# Larvas, la mezcla y lo que se dio.
accepted-cohort = el nombre de una cohorte en bandejas
accepted-cohort-alive = una cohorte en bandejas; esta acabó el { $at } ({ $why }); para añadirle algo, nombre su registro r{ $seq }
accepted-counted = cómo se contaron las larvas, de 1 a { $most } caracteres
accepted-tray-area = la superficie de una bandeja, de 0.001 a 100 m2, como 0.24 o 60x40cm
accepted-depth = de 0.1 a 100 cm
accepted-start-sample = un número desde 1 y sus gramos, más de cero, como 200=0.31
accepted-larvae-weight = el peso fresco de las larvas, como 20.4 lb
accepted-counted-grams = las larvas contadas y su peso en gramos
accepted-number-grams = NUMBER=GRAMS, como 100=15.2
accepted-sample-grams = gramos de 0.01 a 1000000
accepted-count-or-sample = el número de todas o una muestra, no las dos cosas
accepted-residue = su peso, ya que se da su humedad o su destino
accepted-feed-stream = un material que se pueda dar; este es: { $why }
accepted-buy = STREAM=LIMIT como wheat-bran=40kg, o con su precio por kg, wheat-bran=40kg@0.45
accepted-price = un precio, como en --buy { $name }={ $kg }kg@0.40; la tabla de materiales no tiene ninguno
accepted-stream-once = cada material una vez
accepted-water = `never`, `last-resort`, o un peso con su unidad
accepted-nights = de 1 a { $most } noches
accepted-group-new = un grupo de alimentación para lo que no está en la hoja, como GROUP:{ $lot }={ $weight }
accepted-group-of = uno de los grupos a los que va ({ $known }), como { $first }:{ $lot }={ $weight }
accepted-a-line-fed = al menos una línea que se dio

# Dinero, meses, qué rastrear.
accepted-amount = un importe como 96.00, o minutos de trabajo, o kilovatios hora
accepted-amount-of-item = un importe no menor que cero; el concepto dice si entró o salió
accepted-minutes = de 0 a 1000000 minutos, solo con `labour`
accepted-kwh = de 0 a 10000000 kilovatios hora, solo con `energy`
accepted-rate = lo que cuesta la unidad, junto a minutos o kilovatios hora y sin importe
accepted-first-rate = lo que cuesta { $of ->
    [labour] una hora, como 18.00
   *[energy] un kilovatio hora, como 0.21
}; antes no se anotó nada
accepted-weight-sold = el peso vendido, como 12lb
accepted-reason-again = el motivo de otra versión de un mes cerrado
accepted-begin = una de estas cosas: tiques, --cohort, --harvest, --supplier, --buyer
accepted-no-days = días solo con --supplier o --buyer
accepted-or-later = { $from } o después

# Los ajustes de la granja.
accepted-zone = una zona horaria IANA como America/Denver o Europe/Madrid
accepted-scale-unit = lb o kg
accepted-division = el paso más pequeño que muestra la báscula, de 1 g a 10 kg, como 0.1
accepted-currency = un código ISO 4217 como USD o EUR
accepted-known-value = un valor que este programa conoce (el libro puede ser de otra versión)
accepted-name-weight = NAME=WEIGHT como pail=1.5lb, o con su volumen, pail=1.5lb/5gal

# Archivos.
accepted-utf8 = texto UTF-8 sin más
accepted-utf8-csv = texto UTF-8 (guarde el archivo como CSV UTF-8)
accepted-header = una fila de encabezados
accepted-header-with = una fila de encabezados con { $columns }
accepted-rows = filas de texto separado por comas
accepted-columns = las columnas { $columns }
accepted-columns-further = las columnas { $needed }, y donde haya algo que decir { $further }
accepted-column-once = cada columna una vez
accepted-commas = columnas separadas por comas, no por `{ $separator }`
accepted-cells = { $count } celdas, como en los encabezados
accepted-once = cada `{ $what }` una vez; la fila { $row } ya lo tiene
accepted-toml = lo que muestra la guía de archivos ({ $why })
accepted-a-name = un nombre
accepted-filled = un valor que no esté vacío
accepted-kilograms = kilogramos de 0 a 100000
accepted-stream-id = un id de material con letras minúsculas, cifras y guiones, { $most } como mucho
accepted-id-letters = letras minúsculas, cifras y guiones
accepted-measure = moisture_pct, nfc_dm_pct, carbon_to_nitrogen o una clave que acabe en _dm_pct
accepted-assumed-key = una clave que acabe en _dm_pct, o bulk_density_kg_m3
accepted-bounds = al menos una de min, max, limit_min, limit_max
accepted-low-high = { $low } no mayor que { $high }
accepted-two-numbers = dos números de 0.1 a 10000, el menor primero
accepted-source-key = una fuente: una clave de la tabla de fuentes
accepted-figures-from = de dónde vienen las cifras
accepted-from-where = de dónde viene
accepted-why = por qué, en una frase
accepted-rule-target = una clase, un id de material o `mouldy`
accepted-or = { $words }, o { $other }
accepted-every-rule = una fila para cada clase, uso y región
accepted-inedible-kind = qué es la parte no comestible, como hueso, cáscara o carozo
accepted-parts-of-dry = partes de la materia seca que sumen 102 % como mucho
accepted-part-of = como mucho el { $whole }_dm_pct de { $pct }, que la contiene
accepted-carbon = como mucho 60 % de carbono en la materia seca
accepted-carbon-to-nitrogen = un C:N que deje 60 % de carbono como mucho; con { $nitrogen } % de nitrógeno esto es { $carbon } % de carbono
accepted-feeding = `daily`, `once` o `every-N` con N de 2 a 30
accepted-a-stage = al menos una etapa
accepted-stages-in-a-row = etapas que se sigan sin hueco ni solape
accepted-to-day = días de 0 a 365, no antes de from_day
accepted-each-day = cada día de { $from_day } a { $to_day } una vez
accepted-every-ration = una ración para cada día de la etapa, 0 para una noche sin comida
accepted-a-group = al menos un [group.NAME]
accepted-larvae-ration = larvae y ration_mg que den de 0.000001 a 1000000 kg de materia seca
accepted-one-demand = dry_matter_kg solo, o larvae con ration_mg
accepted-who-brings = quién lo trae
accepted-priced-stream = un material con price_per_kg aquí o en la tabla de materiales
seen-no-rule = ninguna fila para { $class }, { $larvae_for }, { $region }
seen-no-ration = ninguna ración para el día { $days }
seen-stages-apart = { $first } acaba el día { $to_day }, { $next } empieza el día { $from_day }
seen-empty-file = un archivo vacío
seen-nul = caracteres NUL
seen-not-utf8 = bytes que no son UTF-8
seen-not-utf8-line = bytes que no son UTF-8 en la línea { $line }
seen-no-row = ninguna fila bajo los encabezados
seen-no-column = no hay tal columna
seen-column-twice = una columna con el nombre repetido

# Lo que envían otros programas.
accepted-sender-id = un id hecho por quien envía: de 12 a 60 letras, cifras, `-` o `_`
accepted-fields = los campos que describe /api/openapi.json
accepted-json = JSON como lo describe /api/openapi.json

# Lo que el propio libro pide a los registros.
accepted-farm-first = `farm` como primer registro de un libro
accepted-from-1970 = un instante desde 1970
accepted-finite = un número finito
accepted-refuse-stays = `refuse` para lo que se rechazó, y para nada más

# Argumentos de las órdenes.
accepted-chance = una probabilidad de 0.5 a 0.999
accepted-chance-hundredths = una probabilidad de 0.5 a 0.99 en centésimas, como 0.8
accepted-weight-from-1g = un peso de 1 g a 1000 kg, como 1 lb
accepted-small-scale = DIVISION:MOST, cada uno con su unidad, MOST desde diez divisiones hasta 1000 kg, como 1g:5kg
accepted-or-default = { $accepted }; o `default`
accepted-change = LOT=WEIGHT como 12=4.5lb, o GROUP:LOT=WEIGHT
accepted-outlet = OUTLET o SUPPLIER=OUTLET con uno de { $accepted }
accepted-captured = un tanto por ciento del gas, como 40 o 20-60
squeeze-grade = { $word }: { $word ->
    [runs] el agua sale fácil al apretar, conserva la forma (80 % y más)
    [just] el agua apenas sale al apretar (75-80 %)
    [holds] poca agua o nada, conserva la forma (70-75 %)
    [slow] sin agua, se deshace despacio (60-70 %)
   *[fast] se deshace enseguida (60 % y menos)
}

# Más allá de toda medida.
accepted-at-most = como máximo { $most }
accepted-columns-most = como máximo { $most } columnas
accepted-rows-most = como máximo { $most } filas; se pueden leer varios archivos uno tras otro
accepted-bytes-most = como máximo { $most } bytes de TOML
seen-columns = { $count } columnas
seen-more-rows = más filas
seen-bytes = { $count } bytes
accepted-heading = un encabezado del libro de cálculo
accepted-columns-headings = como supplier=Quién; columnas: { $columns }
accepted-sheet = una hoja con una fila de encabezados para cuándo, proveedor, flujo y peso bruto o neto; `--columns supplier=Quién,stream=Qué` dice cuál es cuál
accepted-workbook = un libro de cálculo (.xlsx)
accepted-workbook-cells = un libro de cálculo de { $most } celdas como máximo
seen-more-cells = más celdas que esas
accepted-stream-name = un nombre con letras de la a a la z o cifras, de { $most } letras como mucho
accepted-stream-new = un nombre que aún no sea de otro material; este es de { $id }
accepted-leave-listed = un material con nombre; diga antes qué es: trayful correct TIQUE --stream QUÉ --why MOTIVO
