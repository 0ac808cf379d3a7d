# The page of the dock, for who works there and for the owner.

# nav
dock-nav-skip = A la página
dock-nav-pages = Páginas
dock-nav-look = Idioma y aspecto
dock-nav-weigh = Pesar
dock-nav-stock = Almacén
dock-nav-tonight = Noche
dock-nav-cohorts = Larvas
dock-nav-month = Mes
dock-nav-statement = Extracto
dock-nav-labels = Etiquetas
dock-nav-light = Claro
dock-nav-dark = Oscuro
dock-nav-harvest = Cosecha
dock-nav-money = Dinero
dock-nav-learn = Lo que dicen sus registros
dock-nav-mixes = Qué mezclas fueron bien
dock-nav-office = Oficina

# page
dock-page-table = Tabla
dock-page-remark = Observación
dock-page-print = Imprimir

# weigh
dock-weigh-supplier = Proveedor
dock-weigh-another = Otro
dock-weigh-new-supplier = Proveedor nuevo
dock-weigh-stream = ¿Qué es?
dock-weigh-all-streams = Diga qué es, como se le llama
dock-weigh-weight = Peso
dock-weigh-gross = Con el recipiente
dock-weigh-container = Recipiente
dock-weigh-tare = Otra tara
dock-weigh-more = Solo si hace falta
dock-weigh-picked = Apartado, peso
dock-weigh-picked-kind = Qué se apartó
dock-weigh-moisture = Humedad medida, %
dock-weigh-refuse = Rechazar por
dock-weigh-refuse-why = Otro motivo
dock-weigh-refuse-kind = { $what ->
    [glass] vidrio, cortantes
    [chemicals] productos químicos
    [sanitary] residuos sanitarios
    [medicated] medicado o tratado
    [putrid] podrido
   *[mouldy] con moho
}
dock-weigh-no = No se rechaza
dock-weigh-note = Nota
dock-weigh-by = Quién
dock-weigh-sure = Guardarlo de todos modos
dock-weigh-change = No guardar: cambiarlo
dock-weigh-no-container = Sin recipiente
dock-weigh-keep = Guardar
dock-weigh-recent = Últimos tiques
dock-weigh-tally = { $supplier } hoy: { $loads ->
    [one] { $loads } balde
   *[other] { $loads } baldes
}, { $weight }
dock-weigh-choose = Elija proveedor, qué es y el recipiente, y pese.

# done
dock-done-ticket = Tique
dock-done-next = Cubo siguiente
dock-done-label = Etiqueta
dock-done-on = Seguir

# undo
dock-undo-do = Deshacer
dock-undo-title = Deshacer { $what }
dock-undo-late = Esto se anotó hace más de dos minutos, así que no se deshace con un toque. Diga en pocas palabras por qué se deshace. Queda en el libro, anulado.
dock-undo-reason = Motivo
dock-undo-leave = Dejarlo como está
dock-undo-done = Deshecho. Lo guardado queda en el libro, anulado. La anotación está otra vez en el formulario: cambie lo que estaba mal.

# wait
dock-wait-title = Por enviar:
dock-wait-away = No se puede llegar al libro. Lo anotado espera en esta tableta y se envía solo. Quédese en esta página.
dock-wait-back = Devuelto al formulario: cámbielo allí, o guárdelo como está.
dock-wait-really = ¿Borrarlo de verdad? Pulse otra vez: después ya no está.
dock-wait-broken = Esta anotación está dañada. Apunte lo que queda de ella:
dock-wait-sent = Enviado ahora:
dock-wait-seen = De acuerdo
dock-wait-again = Devolver al formulario
dock-wait-drop = Borrarlo
dock-wait-yes = Es correcto, guardarlo
dock-wait-pin = Escriba el PIN para seguir enviando
dock-wait-full = Esta tableta no puede guardar la entrada. Apúntela en papel.
dock-wait-look = Por revisar:
dock-wait-hold = Aparte este cubo hasta que llegue su respuesta.
dock-wait-held = con recipiente
dock-wait-nothing = Esta anotación está dañada: no se puede leer nada de ella.
dock-wait-old = Lleva más de un día esperando: pregunte al dueño.

# reading
dock-reading-holds = Este peso ya tiene { $what }, y llegó otra lectura. ¿Cuál vale?
dock-reading-old = Dejar { $what }
dock-reading-new = Tomar { $what }
dock-reading-touch = Toque el peso al que pertenece y pese otra vez. La báscula escribió:
dock-reading-whole = { $what } con el recipiente
dock-reading-less = { $gross } menos recipiente { $tare }

# clock
dock-clock-behind = El reloj de esta tableta va { $far } atrasado (decía { $said }). Guardado con el reloj del libro: { $kept }.
dock-clock-ahead = El reloj de esta tableta va { $far } adelantado (decía { $said }). Guardado con el reloj del libro: { $kept }.

# tonight
dock-tonight-night = Noche del { $what }
dock-tonight-nothing-due = Noche del { $what }: ninguna bandeja pendiente
dock-tonight-fed-already = Dado de comer y anotado
dock-tonight-keep = Guardar esta hoja
dock-tonight-anew = Hacer otra mezcla
dock-tonight-bar = De qué se compone la mezcla
dock-tonight-tick = Pese, y marque cada línea
dock-tonight-tick-how = Marque cada línea que se dio. Donde se tomó otro peso, péselo o escríbalo; 0 quita la línea.
dock-tonight-otherwise = Otro peso
dock-tonight-else = otro
dock-tonight-of-night = Noche del { $day }
dock-tonight-sheet = hoja r{ $record }
dock-tonight-not-checked = SIN COMPROBAR. Tomó otros pesos que los de la hoja.
dock-tonight-of = de { $what } líneas marcadas
dock-tonight-others = No como en la hoja; lo demás como dice
dock-tonight-other = { $line }: { $fed } donde la hoja dice { $sheet }
dock-tonight-left = { $line }: no se dio; la hoja dice { $sheet }
dock-tonight-fed-of = { $title } de { $all }
dock-tonight-as-said = Todo como dice la hoja.
dock-tonight-fed = Dado
dock-tonight-open-fed = Sí, se dieron todas
dock-tonight-open-left = No, solo las marcadas
dock-tonight-open-back = Volver y marcar
dock-tonight-bare = Esta hoja se guardó antes esta noche. Las existencias han cambiado desde entonces y sus cifras no se muestran otra vez; los pesos valen como se guardaron.
dock-tonight-back-to = Volver a la hoja guardada
dock-tonight-used-up = Se acabó: { $what }
dock-tonight-recent = Anotado para esta noche

# gauge
dock-gauge-chance = probabilidad de estar dentro

# month
dock-month-show = Mostrar

# statement
dock-statement-nobody = Ningún proveedor trajo nada este mes.

# trace
dock-trace-title = Trazabilidad
dock-trace-buyer = Comprador
dock-trace-show = Rastrear
dock-trace-recall = Hoja de retirada
dock-trace-another = Rastrear otra cosa
dock-trace-more = Rastrear una cohorte, un proveedor o un comprador

# harvest
dock-harvest-cohort = Cohorte
dock-harvest-day = día { $what }
dock-harvest-about = { $what } larvas al principio
dock-harvest-weights = Pesos
dock-harvest-larvae = Larvas, frescas
dock-harvest-residue = Residuo, si se pesó
dock-harvest-sample = Una muestra, para saber cuántas
dock-harvest-sample-count = Larvas contadas
dock-harvest-sample-g = Lo que pesan, gramos
dock-harvest-trays = Bandejas
dock-harvest-residue-to = Adónde va el residuo
dock-harvest-way = { $what ->
    [kept] se queda en la granja
    [sold] se vende como frass
    [land] se esparce en el campo
    [composted] al compost
    [digestion] a un digestor
   *[landfilled] al vertedero
}
dock-harvest-last = Lo último: no queda nada en las bandejas
dock-harvest-more = Más: humedades, recuento entero, muertas, nota
dock-harvest-larvae-moisture = Humedad de las larvas, %
dock-harvest-residue-moisture = Humedad del residuo, %
dock-harvest-count = Larvas, todas contadas
dock-harvest-dead = Larvas muertas vistas
dock-harvest-nitrogen = Nitrógeno de las larvas, % de la materia seca
dock-harvest-mind = Precaución: póngase mascarilla y protección de ojos. Ventile antes el local. Herramientas y guantes anticorte, nunca las manos desnudas en el residuo.
dock-why-caution = Por qué
dock-harvest-done = Cosecha de { $cohort }: { $larvae } de larvas
dock-harvest-choose = Elija una cohorte y pese las larvas.
dock-harvest-off-trays = La cohorte { $what } ya no está en sus bandejas.
dock-harvest-no-count = Sin recuento no se sabe la supervivencia. La próxima vez cuente cien larvas y péselas.
dock-harvest-own-page = Qué hizo con su comida
dock-harvest-recent = Últimas cosechas
dock-harvest-list = Qué hicieron las cohortes con su comida
dock-harvest-newest = Cohortes en bandejas cosechadas en parte, y las que acabaron en los últimos 90 días. El nombre de una cohorte lleva a su propia página.
dock-harvest-all = Mostrar todas las cohortes

# discard
dock-discard-title = Apartar y pesar
dock-discard-weigh = Pesar lo apartado
dock-discard-lot = Lote
dock-discard-on-hand = hay { $what }
dock-discard-expect = unas { $what }
dock-discard-out = { $what } ya apartadas
dock-discard-none = Ningún lote tiene partes que apartar.
dock-discard-weight = Partes apartadas, sin su recipiente
dock-discard-kind = Qué se apartó, si es otra cosa
dock-discard-choose = Elija el lote y pese las partes.
dock-discard-left = Queda: { $what }
dock-discard-recent = Últimos apartados

# money
dock-money-write = Apuntar dinero que entra o sale
dock-money-item = Concepto
dock-money-kind = { $what ->
    [gate-fee] tarifa de entrada
    [sold-live] larvas vivas vendidas
    [sold-dried] larvas secas vendidas
    [sold-frass] frass vendido
    [feed] alimento comprado
    [labour] trabajo
    [energy] energía
    [packaging] envases
    [disposal] eliminación
   *[other] otro
}
dock-money-in = Entra
dock-money-out = Sale
dock-money-amount = Importe
dock-money-minutes = Minutos de trabajo
dock-money-kwh = Kilovatios hora de energía
dock-money-rate = Una hora o un kWh cuesta
dock-money-what = Tarea, u otra cosa
dock-money-weight = Peso al que se refiere
dock-money-party = Quién pagó o cobró
dock-money-whole-farm = toda la granja
dock-money-how = Deje el importe vacío si lo dicen los minutos o los kilovatios hora; sin lo que cuesta una hora o un kWh se calcula como la última vez.
dock-money-choose = Elija el concepto.
dock-money-reckoned = Calculado: { $what }.
dock-money-recent = Últimas entradas de este mes

# labels
dock-labels-all = Todas las etiquetas
dock-labels-came-in = Entró
dock-labels-spoils-by = Se estropea el
dock-labels-only = Imprimir solo el lote { $what }

# pin
dock-pin-title = PIN
dock-pin-label = PIN, como se ve donde corre el programa
dock-pin-enter = Entrar
dock-pin-wrong = Ese no es el PIN.
dock-pin-wait = Demasiados intentos. Espere { $what } segundos.

# What the forms call a field of an act.
dock-field = { $field ->
    [supplier] { dock-weigh-supplier }
    [like] { dock-own-like }
    [keeps] { dock-own-keeps }
    [verdict] { dock-own-verdict }
    [stream] Material
    [gross] { dock-weigh-weight }
    [weight] { dock-weigh-weight }
    [container] { dock-weigh-container }
    [tare] { dock-weigh-container }
    [moisture_pct] Humedad
    [picked_out] { dock-weigh-picked }
    [picked_out_kind] { dock-weigh-picked-kind }
    [kind] { dock-weigh-picked-kind }
    [refuse] { dock-weigh-refuse }
    [note] { dock-weigh-note }
    [by] { dock-weigh-by }
    [why] { dock-undo-reason }
    [lot] { dock-discard-lot }
    [act] { dock-lot-what }
    [wet] { dock-lot-wet }
    [dry] { dock-lot-dry }
    [dish] { dock-lot-dish }
    [squeeze] { dock-lot-squeeze }
    [to] { dock-lot-to }
    [at] Hora
    [night] { dock-nav-tonight }
    [group] Grupo de alimentación
    [cohort] { dock-harvest-cohort }
    [hatched] { dock-cohort-hatched }
    [trays] { dock-cohort-trays }
    [tray_area] { dock-cohort-tray }
    [feeding] { dock-cohort-feeding }
    [larvae] { dock-nav-cohorts }
    [residue] { dock-harvest-residue }
    [residue-to] { dock-harvest-residue-to }
    [count] { dock-harvest-count }
    [sample] { dock-harvest-sample }
    [dead] { dock-harvest-dead }
    [larvae-moisture] { dock-harvest-larvae-moisture }
    [residue-moisture] { dock-harvest-residue-moisture }
    [larvae-nitrogen] { dock-harvest-nitrogen }
    [item] { dock-money-item }
    [amount] { dock-money-amount }
    [minutes] { dock-money-minutes }
    [kwh] { dock-money-kwh }
    [rate] { dock-money-rate }
    [what] { dock-money-what }
    [party] { dock-money-party }
    [name] { dock-settings-name }
    [zone] { dock-settings-zone }
    [unit] { dock-settings-unit }
    [division] { dock-settings-division }
    [currency] { dock-settings-currency }
    [region] { dock-settings-region }
    [larvae-for] { dock-settings-larvae-for }
    [verified-scale] { dock-settings-verified }
    [diverted-rule] { dock-settings-rule }
    [decimal-mark] { dock-settings-mark }
    [language] { dock-settings-language }
    [sure] { dock-settings-sure }
    [smallest] { dock-settings-smallest }
    [most-lots] { dock-settings-most-lots }
    [water] { dock-settings-water }
    [small-scale] { dock-settings-small-scale }
    [first-stage] { dock-settings-first-stage }
    [holds] { dock-containers-holds }
    [price_per_kg] Precio
    [price] Precio
    [month] { dock-nav-month }
    [proposal] { dock-take-which }
   *[other] { $field }
}

# error
dock-error-not-taken = { $field }: { $seen } no vale. Vale: { $accepted }
dock-error-missing = Falta: { $field }. Vale: { $accepted }
dock-error-host = Esta página no responde a esa dirección.
dock-error-stopping = No se alcanza el libro ahora. No se perdió nada; pruebe de nuevo.
dock-error-slow = Esto tardó demasiado: puede que otro programa use el libro. Puede estar anotado o no; envíelo otra vez y quedará en el libro una sola vez.
dock-error-broke = Un fallo del programa: esto no se registró. Anótelo en papel y avise a quien cuida el programa.
dock-error-foreign = El cambio venía de otra página, así que no se hizo.
dock-error-token = Esta página está anticuada. Cárguela de nuevo; no se registró nada.
dock-error-too-large = Es demasiado grande; no se registró nada.
dock-error-pin = Escriba primero el PIN.
dock-error-refused = No registrado
dock-error-unread = No se puede mostrar
dock-error-nothing = No existe esa página.
dock-error-back = Volver a hoy
dock-office-month = Lo que entró, adónde fue, lo que queda
dock-office-statement = Una hoja para cada proveedor, para entregar
dock-office-money = Lo que cuestan las larvas, y qué anotar
dock-office-learn = En qué se apartan sus cargas de las tablas
dock-office-mixes = Qué mezclas fueron con buenas cosechas
dock-office-trace = Adónde fue una carga, y qué retirar
dock-stock-today = Usar hoy
dock-stock-tomorrow = Usar hasta mañana
dock-stock-later = Dura más
dock-stock-not-feed = No es para larvas
dock-stock-table = Todo en una tabla
dock-tonight-figures = La mezcla como barra, y cada cifra en su ventana
dock-lot-open = Probar, pesar, mirar, sacar
dock-lot-what = ¿Qué se hace?
dock-lot-what-is = qué se hace: dried, squeezed, reweigh, fit, not-fit o away
dock-lot-choose = Elija el lote y qué se hace.
dock-lot-kind = { $what ->
    [dried] Humedad: secar una muestra
    [squeezed] Humedad: apretar un puñado
    [reweigh] Pesarlo de nuevo
    [fit] Mirado: está bien
    [not-fit] Mirado: no está bien
   *[away] Se va
}
dock-lot-wet = Muestra antes de secar, gramos
dock-lot-dry = Muestra después de secar, gramos
dock-lot-again = Después de secar { $what } veces, gramos
dock-lot-dish = El plato solo, gramos (en blanco si la balanza lo descuenta)
dock-lot-log = Seque, pese, remueva. Seque un minuto más y pese otra vez, hasta que pierda menos de 1 g de cada 100 g. Si se quema, tome el peso anterior.
dock-lot-grams = gramos, como 100 o 23.5
dock-lot-method = Secada en
dock-lot-method-kind = { $what ->
    [oven] horno
   *[microwave] microondas
}
dock-lot-squeeze = Lo que ve la mano
dock-lot-squeeze-kind = { $what ->
    [runs] Sale agua, mantiene la forma
    [just] Apenas sale agua
    [holds] Poca agua o nada, mantiene la forma
    [slow] Sin agua, se deshace despacio
   *[fast] Se deshace rápido
}
dock-lot-look = Mírelo al aire libre. No meta la nariz en el balde: moho y gases.
dock-lot-to = Adónde va
dock-lot-where = adónde va, uno de la lista
dock-lot-weight = Peso sin el recipiente; vacío si es todo
dock-lot-weight-is = lo que dice la báscula, como 12.5 lb
dock-lot-spoiled = Estaba echado a perder
dock-nav-ahead = Próximas noches
dock-office-ahead = Qué comprar, aceptar y usar en las próximas noches
dock-cohort-title = Larvas nuevas en bandejas
dock-cohort-name = Nombre en las bandejas
dock-cohort-hatched = Nacidas el
dock-cohort-day = un día, como 2026-11-12
dock-cohort-larvae = Cuántas larvas
dock-cohort-trays = Cuántas bandejas
dock-cohort-number = un número entero, como 60000
dock-cohort-tray = Tamaño de una bandeja
dock-cohort-area = lados como 60x40cm, o metros cuadrados
dock-cohort-counted = Cómo se contaron
dock-cohort-feeding = Cada cuánto comen
dock-cohort-ends = Se termina
dock-cohort-why = Por qué se termina
dock-home-title = Hoy
dock-home-weigh = Pesar
dock-home-sheet = La hoja de esta noche
dock-home-tick = Anotar lo que se dio
dock-home-due = Toca esta noche: { $group }, { $trays ->
    [one] { $trays } bandeja
   *[other] { $trays } bandejas
}
dock-home-none-due = Esta noche no toca ninguna bandeja
dock-home-fed = La hoja de esta noche: dada
dock-home-past = Pasado de tiempo: mirarlo antes
dock-home-use = Usar esta noche
dock-home-more = { $what } más en las existencias
dock-home-first = Para empezar
dock-month-or-year = Mes o año
dock-page-workbook = Libro de cálculo
dock-plain-stays = Lo que deje vacío queda como está.
dock-correct-weight = ¿Está mal el peso? Deshaga el tique y pese otra vez.
dock-plain-choose = Responda primero lo que se pregunta.
dock-plain-more = Más
dock-plain-such-as = como { $what }
dock-settings-title = Ajustes
dock-settings-language-each = como pida cada tableta
dock-settings-kept = Ajustes guardados
dock-settings-name = Nombre de la granja en los extractos
dock-settings-zone = Zona horaria
dock-settings-unit = Unidad de la balanza
dock-settings-division = Paso más pequeño de la balanza
dock-settings-currency = Moneda
dock-settings-region = Dónde está la granja, para las reglas de uso
dock-settings-region-kind = { $what ->
    [eu] Unión Europea
    [gb] Gran Bretaña
    [us] Estados Unidos
   *[other] otro lugar
}
dock-settings-larvae-for = Para qué son las larvas
dock-settings-larvae-kind = { $what ->
    [poultry-fish-pig] alimento de aves, peces o cerdos
    [pet] alimento de mascotas
   *[not-feed] no para alimento
}
dock-settings-mark = Signo decimal
dock-settings-mark-kind = { $what ->
    [comma] coma: 12,5
   *[point] punto: 12.5
}
dock-settings-language = Idioma de páginas y hojas
dock-settings-language-kind = { $what ->
    [es] español
   *[en] inglés
}
dock-settings-verified = Por qué la balanza cuenta como verificada
dock-settings-rule = Regla para lo que cuenta como desviado
dock-settings-sure = Probabilidad de que cada cifra se cumpla
dock-settings-smallest = Peso más pequeño que vale la pena tomar
dock-settings-most-lots = Máximo de lotes en una mezcla
dock-settings-water = Agua en una mezcla
dock-settings-water-kind = { $what ->
    [never] nunca
   *[last-resort] solo donde nada más ayuda
}
dock-settings-small-scale = Balanza pequeña: paso y carga máxima
dock-settings-first-stage = Quién come primero cuando no alcanza
dock-containers-title = Recipientes
dock-containers-kept = { $container }: { $weight } vacío
dock-containers-name = Nombre
dock-containers-weight = Peso vacío ({ $what })
dock-containers-holds = Cuánto cabe
dock-correct-title = Corregir un tique
dock-correct-word = { $field }: { $now } (primero: { $first })
dock-correct-price = Precio de un { $unit }, { $currency }
dock-close-title = Cerrar el mes
dock-close-none = Aún no hay mes que cerrar: { $what } no ha terminado, y el libro empieza en él.
dock-close-done = { $month } está cerrado, versión { $version }
dock-close-why = Por qué se cierra otra vez
dock-take-which = Adoptar
dock-day-title = Anotado el { $day }
dock-day-count = { $records ->
    [one] { $records } registro desde la medianoche
   *[other] { $records } registros desde la medianoche
}
dock-day-what = qué
dock-day-who = quién
dock-day-undone = { $what } (anulado)
dock-day-undid = deshizo: { $what }
dock-check-title = ¿Está en orden el libro?
dock-copy = Guardar una copia del libro
dock-cohort-plan = { $what ->
    [daily] cada noche
    [every-2] cada dos noches
    [every-3] cada tres noches
   *[once] una vez
}
dock-office-correct = Un proveedor, material, nota o precio equivocado
dock-office-close = Fijarlo y entregarlo
dock-office-settings = Lugar, balanza, para qué son las larvas
dock-office-containers = Nombres y pesos vacíos
dock-office-day = Quién anotó qué hoy
dock-office-check = Revisar el libro y guardar una copia
dock-office-figures = Cifras y papeles
dock-office-look-ahead = Mirar adelante y aprender
dock-office-farm = La granja y su libro
dock-day-name = Registros de hoy
dock-check-name = Revisar y copiar
dock-tonight-changed = Esta hoja ya no vale. Ha cambiado:
dock-tonight-old = Usar la hoja vieja de todos modos
dock-tonight-grew = El libro ha crecido desde que se abrió esta página. Cárguela otra vez para ver si la mezcla cambiaría.
dock-error-owner = Esto solo lo abre el PIN del dueño.
dock-why = ¿Por qué esta cifra?
dock-why-diverted = Lo que no acabó como desecho, sumado
dock-why-received = Lo recibido, por materia
dock-why-loads = { $what ->
    [one] 1 carga
   *[other] { $what } cargas
}
dock-month-diverted = no fue a la basura
dock-month-counts = { $weight } cuentan como apartadas de la basura, con lo que aún espera
dock-month-fed = dadas a las larvas
dock-month-waits = esperan en existencias
dock-month-rest = Es la suma de ambos{ $rest ->
    [none] { "" }
   *[other] , más { $rest } usadas de otro modo o secadas
}{ $opening ->
    [none] { "" }
   *[other] , menos { $opening } que ya estaban antes del mes
}.
dock-month-before = { $month }: { $weight }
dock-month-closed = Cerrado, versión { $version }
dock-month-draft = Sin cerrar: estas cifras aún pueden cambiar
dock-statement-diverted = de lo que usted trajo no fue a la basura
dock-month-all = Todas las cifras
dock-home-settings = Mire los ajustes
dock-close-what = Las cifras del mes quedan como están ahora, para que lo que se entrega no cambie. Si algo cambia después, ciérrelo otra vez: la nueva versión dice qué cambió.
dock-close-figure = No fue a la basura: { $weight }. Recibido: { $received }.
dock-take-what = Estos valores difieren de lo que dicen sus registros. Adopte uno, y existencias y mezcla irán por él desde ahora.
dock-month-year = Todo { $what }
dock-stock-left = quedan { $days } días
dock-stock-past = { $days } días pasado
dock-tonight-full = Todas las cifras, ventanas y fuentes
dock-own-title = Sus propios materiales
dock-own-what = Dé nombre a algo que recibe y no está en la lista, y diga a qué se parece. Lo que deje vacío se toma de ahí.
dock-own-name = Cómo lo llama
dock-own-like = Se parece a
dock-own-moisture = Agua que tiene, %, si lo sabe
dock-own-keeps = Días que aguanta, si lo sabe
dock-own-verdict = ¿Hay que tratarlo con más rigor?
dock-own-as-like = igual
dock-office-streams = Como el pan, pero suyo
dock-day-some = Los { $records } registros más nuevos de hoy; siga para ver los de antes
dock-day-rest = { $records ->
    [one] { $records } registro más desde medianoche
   *[other] { $records } registros más desde medianoche
}
dock-day-before = Antes, hoy
dock-weigh-say = { $what ->
    [refuse] Rechazar
    [picked] Apartado
    [moisture] Humedad
    [bought] Comprado
    [touched] Tocó ...
   *[note] Nota, quién
}
dock-weigh-not-listed = No está en la lista: el dueño dirá qué es
dock-weigh-bought = Comprado: no es residuo
dock-weigh-touched = Tocó
dock-weigh-class = { $what ->
    [kitchen] restos de cocina
    [meat-fish] carne, pescado o hueso
    [dairy-egg] leche o huevo
   *[manure] estiércol
}
dock-weigh-part = { $what ->
    [bone] hueso
    [shell] cáscara
    [pit] huesos de fruta
    [plastic] plástico
    [metal] metal
   *[other] otra cosa
}
dock-weigh-part-other = Otra cosa, cuál
dock-told = Mire esto, por favor
dock-saved = Guardado

# A scale on a wire.
dock-wire-state = { $what ->
    [gone] sin cable
    [quiet] no envía nada
    [empty] vacía
    [moving] se mueve, espere
    [below-zero] bajo cero: quite todo y pulse cero
    [beyond] demasiado peso, o un fallo
    [unread] no se entiende
   *[steady] quieta
}
dock-wire-take = Tomarlo
dock-wire-title = Balanza
