# Lo que se pregunta a quien empieza, y qué hacer después.
begin-ask-zone = Zona horaria de la granja
begin-ask-zone-form = como America/Denver o Europe/Madrid
begin-ask-unit = Unidad que muestra la báscula
begin-ask-division = El paso más pequeño que muestra la báscula
begin-ask-division-form = como 0.1
begin-ask-currency = Moneda
begin-ask-currency-form = sus tres letras, como USD o EUR
begin-ask-region = Dónde está la granja, por las reglas sobre alimento
begin-ask-larvae-for = Para qué son las larvas
begin-ask-mark = Signo de los decimales, como lo muestra la báscula
begin-ask-container = Un recipiente, pesado vacío
begin-ask-container-form = nombre=peso, o nombre=peso/volumen, como cubo=0.7kg/20L
begin-ask-cohort = ¿Hay ya larvas en bandejas? Entonces anote la primera cohorte
begin-tomorrow = Mañana temprano: ponga el primer cubo en la báscula y ejecute `trayful weigh`. Pregunta lo demás, cubo por cubo.
begin-evening = Por la tarde: `trayful mix` imprime qué dar, y `trayful fed` guarda que se hizo.
begin-evening-cohort = En cuanto haya larvas en bandejas: `trayful cohort add`. Por la tarde `trayful mix` imprime qué dar, y `trayful fed` guarda que se hizo.
mix-ask-cohort = Aún no hay larvas en bandejas. ¿Anotar una cohorte ahora?
weigh-another = ¿Otro cubo?

# Lo que se pregunta en una terminal cuando se omitió.
ask-or-enter = { $asks } ({ $accepted }; Intro para seguir):
ask-lot = Lote
ask-lot-form = su tique, como 12; `trayful stock` muestra los lotes
ask-ticket = Tique
ask-ticket-form = su número o su nombre, como 12
ask-stream = Material
ask-stream-form = como spent-grain; `trayful streams` los muestra
ask-supplier = Proveedor
ask-supplier-form = como en los tiques
ask-gross = Peso con el recipiente
ask-gross-form = como 32.2; { $unit } si no dice otra unidad
ask-tare-empty = Peso del recipiente vacío
ask-tare-form = 0 si no hay
ask-tare-or-container = 0 si no hay; o un recipiente: { $known }
ask-weight-now = Lo que dice la báscula ahora, sin el recipiente
ask-weight-form = un peso como 32.2lb
ask-outlet = Adónde va
ask-tested = Cuánta agua: gramos de una muestra antes de secarla, o lo que se ve al apretarla en la mano
ask-tested-form = gramos como 100; o uno de { $grades }
ask-dry = Gramos después de secar
ask-dry-form = como 23.5
ask-item = Qué es
ask-amount = Cuánto, en { $currency }
ask-amount-form = como 96.00
ask-cohort = Cohorte
ask-cohort-form = su nombre, como lo muestra `trayful cohort list`
ask-cohort-name = Nombre en las bandejas
ask-cohort-name-form = como H1
ask-hatched = Día en que nacieron
ask-day-form = año, mes, día, como 2026-11-20
ask-larvae = Cuántas larvas
ask-larvae-form = un número como 60000
ask-trays = Cuántas bandejas
ask-trays-form = un número como 16
ask-tray-area = Tamaño de una bandeja
ask-tray-area-form = como 60x40cm, o metros cuadrados como 0.24
ask-copy = Archivo para la copia
ask-copy-form = uno que aún no exista
ask-columns = Qué se toma de otro modo
ask-columns-form = como supplier=Quién,stream=Qué

# Una orden que no se puede leer.
usage-value = `{ $place }`: `{ $seen }` no se acepta; se acepta: { $accepted }
usage-below-zero = `{ $seen }` está por debajo de cero; se acepta: cero o más
usage-option = no hay una opción `{ $unknown }`
usage-option-near = no hay una opción `{ $unknown }`; la más cercana: `{ $near }`
usage-command = no hay una orden `{ $unknown }`
usage-command-near = no hay una orden `{ $unknown }`; las más cercanas: { $near }
usage-missing = falta `{ $missing }`
usage-no-value = a `{ $option }` le falta su valor
usage-help = `{ $command } --help` muestra lo que hay, con un ejemplo
