//! Plain words for the lead's three: short, common, none offensive, none easily mistaken for another by ear
//! more than plain words are. 256 of them: three make 24 bits behind a limit on guessing.

/// The words.
pub(super) const WORDS: [&str; 256] = [
    "acorn", "amber", "anchor", "apple", "apron", "arrow", "autumn", "badge", "bacon", "baker",
    "balcony", "bamboo", "banana", "barn", "basket", "beach", "bean", "beard", "bell", "bench",
    "berry", "bicycle", "birch", "biscuit", "blanket", "boat", "bottle", "bridge", "broom",
    "bucket", "butter", "button", "cabin", "cable", "cactus", "camel", "candle", "canyon",
    "carpet", "carrot", "castle", "cedar", "cello", "chain", "chair", "chalk", "cherry", "chess",
    "chimney", "cinema", "circle", "clay", "cliff", "clock", "cloud", "clover", "coach", "cobalt",
    "coconut", "coffee", "comet", "copper", "coral", "corner", "cotton", "cow", "crane", "crayon",
    "creek", "cricket", "crown", "crystal", "cup", "curtain", "cushion", "daisy", "dance", "denim",
    "desert", "dinner", "dolphin", "donkey", "door", "dragon", "drum", "duck", "eagle", "earth",
    "easel", "echo", "elbow", "ember", "engine", "fabric", "falcon", "farm", "feather", "fence",
    "fern", "ferry", "field", "finger", "flag", "flame", "flute", "fog", "forest", "fork",
    "fossil", "fox", "frame", "frost", "garden", "garlic", "gate", "ginger", "giraffe", "glass",
    "globe", "glove", "goat", "gold", "grape", "grass", "gravel", "guitar", "hammer", "harbour",
    "harp", "hat", "hazel", "helmet", "hill", "honey", "horse", "hotel", "house", "island",
    "ivory", "jacket", "jaguar", "jungle", "kettle", "kite", "kitten", "ladder", "lake", "lamp",
    "lantern", "laptop", "lemon", "letter", "library", "lily", "linen", "lion", "lizard", "log",
    "lunch", "magnet", "mango", "maple", "marble", "market", "meadow", "melon", "metal", "milk",
    "mirror", "moon", "moss", "motor", "museum", "music", "napkin", "needle", "nest", "noodle",
    "north", "novel", "nutmeg", "oak", "oasis", "ocean", "olive", "onion", "orange", "orchid",
    "otter", "oven", "owl", "oyster", "paddle", "paint", "palace", "panda", "paper", "parrot",
    "pasta", "pebble", "pencil", "pepper", "piano", "pillow", "pine", "pirate", "planet", "plum",
    "pocket", "pond", "poppy", "potato", "prairie", "pumpkin", "puzzle", "rabbit", "radio", "raft",
    "rail", "rain", "raven", "ribbon", "rice", "ring", "river", "robin", "rocket", "roof", "rope",
    "rose", "rug", "saddle", "sail", "salmon", "salt", "sand", "sauce", "school", "scarf", "seal",
    "shadow", "sheep", "shell", "shirt", "silver", "skate", "sky", "slate", "snow", "soap", "sofa",
    "spice", "spider", "spoon", "spring", "square",
];
