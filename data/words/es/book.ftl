# Un archivo de tiques recibido.
import-title = Importación de { $file }
import-told = { $new } nuevos, { $already } ya en el libro, { $refused } cargas rechazadas entre los nuevos; neto { $weight }
import-kept = Guardados con los n.º { $first } a { $last }. Para anular uno: trayful strike TIQUE --why MOTIVO
columns-of-sheet = Hoja { $sheet }:
columns-one = { $column } se lee de { $cell }, «{ $heading }»
columns-left-out = Sin esos encabezados, y por eso aparte: { $sheets }
columns-guessed = qué columna de `{ $file }` es cuál es suposición nuestra, y nadie ha dicho que esté bien; no se anotó nada
columns-hint = si está bien: trayful farm --columns "{ $columns }", y luego la misma orden
columns-kept = Qué columna es cuál queda en { $file }.
import-taken-as = «{ $word }» se tomó como { $stream }.

# Si el libro está entero, y sus copias.
check-title = Revisión de { $file }
check-whole = El libro está entero: { $records ->
    [one] { $records } registro releído y comparado
   *[other] { $records } registros releídos y comparados
}, { $tickets ->
    [one] { $tickets } tique numerado
   *[other] { $tickets } tiques numerados
} sin saltos.
check-not-whole = El libro NO está entero: { $flaws ->
    [one] { $flaws } defecto
   *[other] { $flaws } defectos
}.
check-seal-there = El sello impreso está en el libro, sin cambios.
check-tables-shipped = Tablas: { $streams ->
    [one] { $streams } material
   *[other] { $streams } materiales
}, todas como vienen con el programa.
check-tables = Tablas: { $streams ->
    [one] { $streams } material
   *[other] { $streams } materiales
}, { $own }.
check-table-from = { $name } de { $path }
check-seal = Sello del libro { $seal }. Un libro cortado al final parece entero por sí solo: compare el sello con uno impreso antes, `trayful check --seal SELLO`.
keep-title = Copia guardada en { $file }
keep-whole = Releída y entera, sello { $seal }. Guárdela en otro disco.
papers-title = Escrito en { $folder }
papers-what = Páginas de manual en man, autocompletado para terminales en completions, cómo son las respuestas a --json en schema.
brought-up = El libro pasó del esquema { $from } al { $to }. Como estaba antes queda en { $copy }, releído y entero.

# Lo que encuentra una revisión del libro.
flaw-structure = la estructura del archivo está dañada: { $line }
flaw-file = el archivo está dañado: { $why }
flaw-orphan = una fila{ $of ->
    [0] { "" }
   *[other] { " " }del registro { $of }
} en `{ $table }` apunta a una fila que `{ $parent }` no tiene
flaw-guard-missing = falta el objeto `{ $name }` ({ $sort })
flaw-guard-changed = el objeto `{ $name }` ({ $sort }) se cambió
flaw-foreign-trigger = el disparador `{ $name }` no es del libro
flaw-table = no se pudo leer una tabla: { $why }
flaw-misplaced = el registro { $seq } tiene en `{ $table }` una fila que no le corresponde
flaw-number = el registro { $seq } es el tique n.º { $number } donde tocaba el n.º { $next }
flaw-missing = falta el registro { $first }
flaw-missing-some = faltan los registros { $first } a { $last }
flaw-unverified = { $missing }, así que el registro { $seq } no se puede verificar
flaw-no-digest = el registro { $seq } no tiene huella: { $why }
flaw-changed = el registro { $seq } se cambió: su contenido no da su huella
flaw-changed-or-before = se cambió el registro { $seq } o la huella del registro { $before }: el contenido y la huella anterior no dan su huella
flaw-unreadable = el registro { $seq } no se puede leer: { $why }
flaw-replaced = el registro { $seq } tiene la huella `{ $now }` y no `{ $prefix }`, como se imprimió: se sustituyó él o uno anterior
flaw-cut-off = el registro { $seq } se imprimió como el sello `{ $mark }` y el libro acaba en el registro { $last }: faltan al menos { $gone }. Se le cortó el final, falta un archivo acabado en `-wal` que estaba a su lado, o esta es una copia más antigua
flaw-seal-not-there = su sello `{ $mark }` no está en el libro
flaw-mark-stray = hay una suma de existencias en el registro { $mark }, donde no toca
flaw-mark-wrong = las sumas de existencias del registro { $mark } no son las de los registros hasta él

# Archivos, la demostración y la página.
written = Escrito: { $file }
demo-plays = Una granja inventada, { $days } días, en { $file } ...
demo-next = Tres cosas que probar ahora
demo-next-today = El día de un vistazo: trayful --daybook { $file }
demo-next-weigh = Pesar un cubo propio: trayful --daybook { $file } weigh
demo-next-month = Todo el mes pasado, para entregar: trayful --daybook { $file } month { $month }
demo-came-in = Llegaron cubos
demo-ticket = tique
demo-stopped = El último se detuvo en el muelle: tenía hueso, y lo que tocó carne está prohibido aquí. Ninguna mezcla puede usarlo.
demo-sites = { $sites } granjas inventadas, un libro cada una
site = sitio
site-book = libro
site-month = mes
dock-not-encrypted = Lo que las tabletas envían por esta red no va cifrado: otros en ella podrían leerlo.
certificate-made = Se hizo un certificado para { $names }, válido hasta { $until }: { $cert }. Con su clave, { $key }, cualquiera podría hacerse pasar por esta página: no se la dé a nadie. Desde el próximo arranque: trayful dock --certificate { $cert } --key { $key }
certificate-trust =
    Para confiar en esta página, abra { $from } en cada tableta e instálelo como certificado para sitios web.
    Precaución: una tableta cree en lo que confía. Antes compare la huella que muestra con esta, signo por signo:
    { $fingerprint }
    Si no son iguales, pare: hay alguien en medio. Pregunte a quien cuida su red antes de poner un certificado en un aparato.
dock-stop = Pare con Ctrl-C; lo confirmado está en el libro.

# Dónde se puede escribir un archivo.
target-book = `{ $file }` es un libro o va con uno, y nunca se sobrescribe; vale: el nombre de otro archivo
target-table = De `{ $file }` se lee una de las tablas de la granja; vale: el nombre de otro archivo
target-twice = `{ $file }` se nombra dos veces; vale: un nombre propio para cada archivo
target-there = `{ $file }` ya está ahí
target-over = `--over` lo sobrescribe
target-ask = { $there }. ¿Sobrescribirlo?
target-left = `{ $file }` se dejó como está; no se escribió nada
unprinted = No se pudo imprimir todo: { $why }. Lo que se anotó está en el libro
file-too-large = `{ $file }` tiene más de { $most } MiB; vale: menos, en varios archivos si hace falta

# Un libro que no se puede leer.
check-unreadable = para esto sirve una copia hecha con `trayful keep`; `trayful check --rescue NUEVO` escribe en un libro nuevo lo que aún se puede leer

# Un libro dañado, y el nuevo hecho con lo que se puede leer de él.
rescue-title = Lo que se puede leer de { $file }, en { $new }
rescue-told = { $kept ->
    [one] { $kept } registro conservado
   *[other] { $kept } registros conservados
}, { $gone ->
    [0] ninguno perdido de los que el archivo aún nombra.
    [one] { $gone } perdido. Vuelva a anotar lo que tenga en papel:
   *[other] { $gone } perdidos. Vuelva a anotar lo que tenga en papel:
}
lost = { $what }: { $why }
lost-one = registro { $seq }
lost-some = registros { $first } a { $last }
lost-ticket = tique n.º { $number }, { $id }
lost-gone = no queda nada de él
lost-unreadable = no se puede leer, { $why }
lost-changed = lo que dice no da su huella, así que se cambió
lost-unproved = se puede leer pero no probar, pues no queda nada del registro anterior
lost-hangs = depende del registro { $on } del libro viejo, que se perdió
rescue-strikes = Entre lo perdido puede haber una anulación o una mezcla dada: lo que anuló vuelve a contar, y lo que dio vuelve a estar en existencias. Revise `trayful stock` y pese lo que hay.
rescue-settings-given = Los ajustes de la granja se perdieron. Los del libro que usted nombró quedaron escritos como último registro.
rescue-renumbered = Los tiques n.º { $from } a { $to } tienen ahora otros números: n.º { $now } a { $last }.
rescue-renumbered-one = El tique n.º { $from } es ahora el n.º { $now }.
rescue-seals = El libro nuevo tiene sellos propios: el último registro conservado tenía { $old }, el libro nuevo acaba con { $seal }. Lo impreso antes lleva sellos viejos, así que guarde también { $file }; `--json` los enumera todos.
rescue-settings = `--settings LIBRO` los toma de una copia, o de un libro nuevo hecho con `trayful begin`
rescue-nothing = para esto sirve una copia hecha con `trayful keep`
demo-month-today = De ello, hoy: { $loads ->
    [one] { $loads } carga
   *[other] { $loads } cargas
}, { $weight }
