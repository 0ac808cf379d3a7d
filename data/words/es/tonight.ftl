# En qué fijarse al mezclar.
mix-tip-whole = Vacíe entero, sin pesar: { $lots }.
mix-look-first = mire primero, pasados de tiempo: { $lots }. Al aire libre, no meta la nariz en el cubo. Bueno: `trayful look { $one } --fit`. Podrido o con moho: `trayful look { $one } --not-fit --note QUÉ`, y mezcle de nuevo.
mix-too-old = lo demasiado viejo se retiene (abajo). Si alguno sigue bueno: `trayful look { $one } --fit`; si no, `trayful discard { $one } --spoiled`.
mix-pick-out = aparte las partes antes de mezclar (los pesos van sin ellas): { $lots }. Use herramienta y guantes anticorte con hueso y concha.
mix-lift = una tanda entera pasa de 23 kg (51 lb), lo máximo para levantar de una vez en condiciones ideales (constante de carga de NIOSH): mezcle y lleve por partes.
mix-fed-already = ya comieron esta noche, por eso no están en esta hoja: { $groups }
mix-fed-later = no comen esta noche, según su plan: { $cohorts }

# Qué hacer ahora, y de dónde vienen las cifras.
mix-not-recorded = Sin guardar. `trayful mix` sin --look guarda la hoja para `trayful fed`.
mix-once-fed = Cuando se haya dado: trayful fed --sheet r{ $seq }, con --change LOTE=PESO para lo que se tomó de otra manera
mix-windows-all = De dónde vienen los márgenes de esta noche: todos son { $label } (`trayful stages` muestra los estudios).
mix-windows = Márgenes de { $windows }: { $label }.
mix-stand-in = { $id }: { $stand_in }.
