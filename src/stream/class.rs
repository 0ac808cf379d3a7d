use crate::quantity::word_enum;

word_enum!(
    /// What a stream is made of, for the rules on its use.
    Class {
        /// Grain, bran, spent grain and dry feed of plants.
        Grain = "grain",
        /// Fruit and vegetables that never were in a kitchen.
        Produce = "produce",
        /// Bread, pastry and dough without meat or fish.
        Bakery = "bakery",
        /// Anything out of a kitchen, canteen or household, whatever the diet.
        Kitchen = "kitchen",
        /// Milk, whey, cheese, egg.
        DairyEgg = "dairy-egg",
        /// Meat, fish, bone, offal.
        MeatFish = "meat-fish",
        Manure = "manure",
        /// Wood, straw, shells, cardboard, leaves.
        Woody = "woody",
        /// Shell grit, lime, soil.
        Mineral = "mineral",
        /// None of these.
        Other = "other",
    }
);
