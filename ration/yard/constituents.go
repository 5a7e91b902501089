package yard

// Constituent is one figure of a feed's analysis. [Constituents] is the only list
// of them there is: the table of feeds, what the workbook leaves open, the columns
// of an analysis, the totals of a ration and the ceilings all walk it.
type Constituent struct {
	Name     string   // "crude protein": as the tables of needs and the sheets print it
	Symbol   string   // "Ca"; "" where none is usual
	Unit     Unit     // in a kg of dry matter; dry matter itself in a kg as fed
	Column   string   // of the table of feeds
	Key      string   // of the workbook's column, and what its cells are called
	Headings []string // what the workbook's column may be headed, folded; the unit apart
	Most     float64  // per kg of dry matter, in its unit: more is not a figure of a feed
	// Crucial: a negative figure of it leaves the horses fed it without a card,
	// since a limit would be compared with something else.
	Crucial bool

	of func(Composition) Num // the same field as in, by value: it is read in the chooser's innermost loops
	in func(*Composition) *Num
}

// In is the constituent's place in a composition.
func (n Constituent) In(c *Composition) *Num { return n.in(c) }

// Of is how much of it a composition holds, in its unit per kg of dry matter.
func (n Constituent) Of(c Composition) Num { return n.of(c) }

// Constituents lists them in the order of the table of feeds. It is read only.
func Constituents() []Constituent { return constituents }

// constituents: the most it can be is ours, far over any feed; of what is
// counted in grams it is all of the kilogram.
var constituents = []Constituent{
	{Name: "dry matter", Symbol: "DM", Unit: Kilograms, Column: "dm_fraction", Key: "dry matter", Headings: []string{"dm", "dry matter"}, Most: 1, Crucial: true, of: func(c Composition) Num { return c.DM }, in: func(c *Composition) *Num { return &c.DM }},
	{Name: "digestible energy", Symbol: "DE", Unit: Mcal, Column: "de_mcal_per_kg_dm", Key: "energy", Headings: []string{"de", "digestible energy", "energy"}, Most: 10, Crucial: true, of: func(c Composition) Num { return c.DE }, in: func(c *Composition) *Num { return &c.DE }},
	{Name: "crude protein", Symbol: "CP", Unit: Grams, Column: "cp_g_per_kg_dm", Key: "protein", Headings: []string{"protein", "crude protein", "cp"}, Most: 1000, of: func(c Composition) Num { return c.CP }, in: func(c *Composition) *Num { return &c.CP }},
	{Name: "fat", Unit: Grams, Column: "fat_g_per_kg_dm", Key: "fat", Headings: []string{"fat", "oil", "crude fat", "oils and fats", "crude oils and fats", "crude oil", "ether extract"}, Most: 1000, of: func(c Composition) Num { return c.Fat }, in: func(c *Composition) *Num { return &c.Fat }},
	{Name: "NDF", Symbol: "NDF", Unit: Grams, Column: "ndf_g_per_kg_dm", Key: "ndf", Headings: []string{"ndf"}, Most: 1000, of: func(c Composition) Num { return c.NDF }, in: func(c *Composition) *Num { return &c.NDF }},
	{Name: "ADF", Symbol: "ADF", Unit: Grams, Column: "adf_g_per_kg_dm", Key: "adf", Headings: []string{"adf"}, Most: 1000, of: func(c Composition) Num { return c.ADF }, in: func(c *Composition) *Num { return &c.ADF }},
	{Name: "crude fibre", Symbol: "CF", Unit: Grams, Column: "cf_g_per_kg_dm", Key: "fibre", Headings: []string{"fibre", "fiber", "crude fibre", "crude fiber", "cf"}, Most: 1000, of: func(c Composition) Num { return c.CrudeFibre }, in: func(c *Composition) *Num { return &c.CrudeFibre }},
	{Name: "starch", Unit: Grams, Column: "starch_g_per_kg_dm", Key: "starch", Headings: []string{"starch"}, Most: 1000, Crucial: true, of: func(c Composition) Num { return c.Starch }, in: func(c *Composition) *Num { return &c.Starch }},
	{Name: "sugar", Symbol: "WSC", Unit: Grams, Column: "wsc_g_per_kg_dm", Key: "sugar", Headings: []string{"sugar", "sugars", "wsc"}, Most: 1000, of: func(c Composition) Num { return c.Sugar }, in: func(c *Composition) *Num { return &c.Sugar }},
	{Name: "calcium", Symbol: "Ca", Unit: Grams, Column: "ca_g_per_kg_dm", Key: "calcium", Headings: []string{"ca", "calcium"}, Most: 1000, of: func(c Composition) Num { return c.Ca }, in: func(c *Composition) *Num { return &c.Ca }},
	{Name: "phosphorus", Symbol: "P", Unit: Grams, Column: "p_g_per_kg_dm", Key: "phosphorus", Headings: []string{"p", "phosphorus"}, Most: 1000, of: func(c Composition) Num { return c.P }, in: func(c *Composition) *Num { return &c.P }},
	{Name: "sodium", Symbol: "Na", Unit: Grams, Column: "na_g_per_kg_dm", Key: "sodium", Headings: []string{"na", "sodium"}, Most: 1000, of: func(c Composition) Num { return c.Na }, in: func(c *Composition) *Num { return &c.Na }},
	{Name: "lysine", Unit: Grams, Column: "lysine_g_per_kg_dm", Key: "lysine", Headings: []string{"lysine", "lys"}, Most: 1000, of: func(c Composition) Num { return c.Lysine }, in: func(c *Composition) *Num { return &c.Lysine }},
	{Name: "magnesium", Symbol: "Mg", Unit: Grams, Column: "mg_g_per_kg_dm", Key: "magnesium", Headings: []string{"mg", "magnesium"}, Most: 1000, of: func(c Composition) Num { return c.Mg }, in: func(c *Composition) *Num { return &c.Mg }},
	{Name: "potassium", Symbol: "K", Unit: Grams, Column: "k_g_per_kg_dm", Key: "potassium", Headings: []string{"k", "potassium"}, Most: 1000, of: func(c Composition) Num { return c.K }, in: func(c *Composition) *Num { return &c.K }},
	{Name: "chloride", Symbol: "Cl", Unit: Grams, Column: "cl_g_per_kg_dm", Key: "chloride", Headings: []string{"cl", "chloride"}, Most: 1000, of: func(c Composition) Num { return c.Cl }, in: func(c *Composition) *Num { return &c.Cl }},
	{Name: "sulphur", Symbol: "S", Unit: Grams, Column: "s_g_per_kg_dm", Key: "sulphur", Headings: []string{"s", "sulphur", "sulfur"}, Most: 1000, of: func(c Composition) Num { return c.S }, in: func(c *Composition) *Num { return &c.S }},
	{Name: "copper", Symbol: "Cu", Unit: Milligrams, Column: "cu_mg_per_kg_dm", Key: "copper", Headings: []string{"cu", "copper"}, Most: 1e5, of: func(c Composition) Num { return c.Cu }, in: func(c *Composition) *Num { return &c.Cu }},
	{Name: "zinc", Symbol: "Zn", Unit: Milligrams, Column: "zn_mg_per_kg_dm", Key: "zinc", Headings: []string{"zn", "zinc"}, Most: 1e5, of: func(c Composition) Num { return c.Zn }, in: func(c *Composition) *Num { return &c.Zn }},
	{Name: "manganese", Symbol: "Mn", Unit: Milligrams, Column: "mn_mg_per_kg_dm", Key: "manganese", Headings: []string{"mn", "manganese"}, Most: 1e5, of: func(c Composition) Num { return c.Mn }, in: func(c *Composition) *Num { return &c.Mn }},
	{Name: "iron", Symbol: "Fe", Unit: Milligrams, Column: "fe_mg_per_kg_dm", Key: "iron", Headings: []string{"fe", "iron"}, Most: 1e6, of: func(c Composition) Num { return c.Fe }, in: func(c *Composition) *Num { return &c.Fe }},
	{Name: "selenium", Symbol: "Se", Unit: Milligrams, Column: "se_mg_per_kg_dm", Key: "selenium", Headings: []string{"se", "selenium"}, Most: 1e4, of: func(c Composition) Num { return c.Se }, in: func(c *Composition) *Num { return &c.Se }},
	{Name: "iodine", Symbol: "I", Unit: Milligrams, Column: "i_mg_per_kg_dm", Key: "iodine", Headings: []string{"i", "iodine"}, Most: 1e4, of: func(c Composition) Num { return c.I }, in: func(c *Composition) *Num { return &c.I }},
	{Name: "cobalt", Symbol: "Co", Unit: Milligrams, Column: "co_mg_per_kg_dm", Key: "cobalt", Headings: []string{"co", "cobalt"}, Most: 1e4, of: func(c Composition) Num { return c.Co }, in: func(c *Composition) *Num { return &c.Co }},
	{Name: "vitamin A", Unit: IU, Column: "vita_iu_per_kg_dm", Key: "vitamin a", Headings: []string{"vit a", "vitamin a"}, Most: 1e8, of: func(c Composition) Num { return c.VitA }, in: func(c *Composition) *Num { return &c.VitA }},
	{Name: "vitamin D", Unit: IU, Column: "vitd_iu_per_kg_dm", Key: "vitamin d", Headings: []string{"vit d", "vitamin d", "vitamin d3", "vit d3"}, Most: 1e7, of: func(c Composition) Num { return c.VitD }, in: func(c *Composition) *Num { return &c.VitD }},
	{Name: "vitamin E", Unit: IU, Column: "vite_iu_per_kg_dm", Key: "vitamin e", Headings: []string{"vit e", "vitamin e"}, Most: 1e6, of: func(c Composition) Num { return c.VitE }, in: func(c *Composition) *Num { return &c.VitE }},
	{Name: "thiamin", Unit: Milligrams, Column: "thiamin_mg_per_kg_dm", Key: "thiamin", Headings: []string{"thiamin", "thiamine", "vit b1", "vitamin b1"}, Most: 1e5, of: func(c Composition) Num { return c.Thiamin }, in: func(c *Composition) *Num { return &c.Thiamin }},
	{Name: "riboflavin", Unit: Milligrams, Column: "riboflavin_mg_per_kg_dm", Key: "riboflavin", Headings: []string{"riboflavin", "vit b2", "vitamin b2"}, Most: 1e5, of: func(c Composition) Num { return c.Riboflavin }, in: func(c *Composition) *Num { return &c.Riboflavin }},
}
