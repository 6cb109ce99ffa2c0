import type { Diet } from '../../../shared/evening/plan.ts';

/** Words of a topping, or names of common pizzas, by what they are made of; the list is ours and not complete: what is not in it is not judged. */
const FOOD_WORDS = {
  pork: 'ham|bacon|pork|salami|salame|sausage|prosciutto|speck|pancetta|guanciale|mortadella|chorizo|nduja|coppa|pepperoni|lardo|lard|soppressata|salsiccia|carbonara|diavola|capricciosa|hawaii|hawaiian',
  meat: 'meat|meatball|beef|veal|lamb|mutton|mince|chicken|turkey|duck|goose|bresaola|pastrami|steak|kebab|venison|rabbit|liver|merguez|hot dog',
  fish: 'fish|anchovy|anchovies|tuna|salmon|prawn|shrimp|mussel|clam|squid|octopus|crab|lobster|sardine|mackerel|trout|herring|cod|caviar|scallop|oyster|seafood|calamari',
  dairy:
    'cheese|mozzarella|parmesan|parmigiano|grana|ricotta|gorgonzola|feta|cream|butter|burrata|provolone|provola|pecorino|mascarpone|gouda|cheddar|brie|camembert|yoghurt|yogurt|scamorza|fior di latte|stracciatella|halloumi|emmental|gruyere|gruyère|taleggio|fontina|milk|margherita|margarita|formaggi|formaggio|bufala|caprese|carbonara|diavola|capricciosa|hawaii|hawaiian',
  egg: 'egg|mayonnaise|honey|carbonara',
  gluten: 'wheat|bread|breadcrumb|pasta|couscous|bulgur|seitan|soy sauce',
} as const;
type Food = keyof typeof FOOD_WORDS;
/** What only sounds like one of these, and what is made in its stead. */
const NOT_MEANT =
  /oyster mushroom|butternut|butter bean|peanut butter|crab apple|beefsteak tomato|\b(coconut|oat|soy|soya|almond|cashew) (milk|cream|cheese)/g;
const SUBSTITUTE_WORDS = /\b(vegan|plant|plant-based|soy|tofu|mock|meatless|meat-free|veggie)\b/;

const FORBIDS: Record<Diet, readonly Food[]> = {
  all: [],
  vegetarian: ['pork', 'meat', 'fish'],
  vegan: ['pork', 'meat', 'fish', 'dairy', 'egg'],
  pescatarian: ['pork', 'meat'],
  'pork-free': ['pork'],
  'dairy-free': ['dairy'],
  'gluten-free': ['gluten'],
};
const FOOD_LABELS: Record<Food, string> = {
  pork: 'meat',
  meat: 'meat',
  fish: 'fish',
  dairy: 'dairy',
  egg: 'from animals',
  gluten: 'gluten',
};

const isOf = (topping: string, food: Food): boolean =>
  new RegExp(`(^|[^\\p{L}])(${FOOD_WORDS[food]})(s|es)?($|[^\\p{L}])`, 'u').test(topping);

/**
 * What of a pizza does not go with the diet of its eater, one sentence; null with nothing. `foods` are its name, its
 * toppings and what else is on it, each with commas between.
 */
export function clash(diet: Diet, foods: readonly string[]): string | null {
  const toppings = foods.flatMap((each) => each.split(/[,;+&/]| and | with /)).map((each) => each.trim());
  const found = toppings.flatMap((topping) => {
    const plain = topping.toLowerCase().replace(NOT_MEANT, '');
    const food = SUBSTITUTE_WORDS.test(plain) ? undefined : FORBIDS[diet].find((food) => isOf(plain, food));
    return food ? [`${topping} (${FOOD_LABELS[food]})`] : [];
  });
  const dough =
    diet === 'gluten-free' ? ['the dough itself (wheat, its flour on board, peel and stone too)'] : [];
  const all = [...new Set([...found, ...dough])];
  return all.length === 0 ? null : `Not ${diet}: ${all.join(', ')}.`;
}
