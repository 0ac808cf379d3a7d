# Cómo se llama cada material; los de la granja, como ella los llama.
stream-called = { $id ->
    [not-listed] No está en la lista
    [spent-grain] Bagazo de cerveza, húmedo
    [wheat-bran] Salvado de trigo
    [rice-bran] Salvado de arroz
    [barley] Cebada pelada
    [chick-feed] Pienso de pollitos
    [carrot-trim] Restos de zanahoria
    [potato-peel] Piel de patata
    [potato-culls] Patatas de descarte
    [cabbage-trim] Restos de repollo
    [lettuce-trim] Restos de lechuga
    [tomato-culls] Tomates de descarte
    [onion-trim] Restos de cebolla
    [celery-trim] Restos de apio
    [broccoli-trim] Restos de brócoli
    [cauliflower-trim] Restos de coliflor
    [cucumber-trim] Restos de pepino
    [squash-trim] Restos de calabacín
    [pumpkin] Calabaza
    [sweet-potato-trim] Restos de batata
    [spinach-trim] Restos de espinaca
    [mushroom-trim] Restos de champiñón
    [corn-on-cob] Maíz dulce en mazorca, con hojas
    [apple-culls] Manzanas de descarte
    [apple-pomace] Orujo de manzana, fresco
    [banana-whole] Plátanos enteros
    [banana-peel] Piel de plátano
    [melon-trim] Restos de melón
    [watermelon-trim] Restos de sandía
    [citrus-peel] Piel de cítricos
    [avocado-whole] Aguacates enteros
    [mango-whole] Mangos enteros
    [peach-culls] Melocotones de descarte
    [plum-culls] Ciruelas de descarte
    [cherry-culls] Cerezas de descarte
    [pineapple-trim] Restos de piña
    [berries] Bayas (fresa)
    [grapes] Uvas
    [walnut-in-shell] Nueces con cáscara
    [bread] Pan blanco
    [bread-wholemeal] Pan integral
    [pastry] Bollería (cruasán)
    [doughnuts] Rosquillas
    [dough] Masa cruda
    [pizza] Pizza de queso
    [cooked-rice] Arroz cocido
    [cooked-pasta] Pasta cocida
    [cooked-beans] Frijoles cocidos
    [restaurant-mix] Restos de restaurante, mezclados
    [canteen-mix] Restos de comedor, mezclados
    [household-mix] Restos de casa, mezclados
    [retail-mixed-surplus] Excedente de tienda, mezclado
    [soup] Sopa
    [coffee-grounds] Posos de café
    [frying-fat] Aceite de freír usado
    [cheese] Queso (cheddar)
    [whey] Suero de leche dulce
    [yoghurt] Yogur natural
    [milk] Leche entera
    [egg-whole] Huevos con cáscara
    [eggshell] Cáscara de huevo, húmeda
    [tofu] Tofu
    [okara] Pulpa de soja, húmeda
    [bakers-yeast] Levadura de pan, prensada
    [almond-hulls] Capote de almendra
    [grass-clippings] Hierba cortada
    [poultry-giblets] Menudencias de ave
    [chicken-whole-raw] Pollo entero, crudo
    [chicken-wings] Alitas de pollo, crudas
    [meat-trim] Recortes de carne de res
    [fish-whole] Pescado entero
    [fish-offal] Tripas y restos de pescado
    [shrimp-shell-on] Gambas con cáscara
    [bones] Huesos crudos
    [poultry-litter] Cama de gallinero
    [nut-shells] Cáscaras de nuez (almendra)
    [corn-cobs] Mazorcas secas, sin grano
    [wheat-straw] Paja de trigo
    [rice-straw] Paja de arroz
    [wood-shavings] Viruta de madera blanda
    [sawdust] Serrín
    [cardboard] Cartón desmenuzado
    [dry-leaves] Hojas secas
   *[other] { $name }
}
