package job

import "gopkg.in/yaml.v3"

// Sections of the shop file, and where they go in the job.
var shopSections = map[string]bool{
	"table": true, "printer": true, "tools": true, "clamp": true, "machine": true, "calibration": true,
}

// overlay puts the sections of the shop file into the job's tree where the job
// doesn't have them. Tools are joined by name. The nodes remember which file
// they are from.
func (r *reader) overlay(job, shop *yaml.Node) {
	s := r.from[shop]
	f := &frame{Job: r.job, r: r, src: s}
	for i := 0; i+1 < len(shop.Content); i += 2 {
		name, section := shop.Content[i], shop.Content[i+1]
		r.from[name] = s
		switch {
		case name.Value == "secondop" || name.Value == "units":
			k := root.child(name.Value)
			quiet := &frame{Job: &Job{places: map[string]place{}}, r: r, src: s}
			r.quietly(func() { r.leaf(value{section, k, name.Value, quiet}) })
		case !shopSections[name.Value]:
			names := append([]string{"secondop", "units"}, sortedKeys(shopSections)...)
			help := ""
			if near := nearest(name.Value, names); near != "" {
				help = "did you mean \"" + near + "\"?"
			}
			r.fault(f, name, name.Value, "\""+name.Value+"\" has no place in a shop file", help).Note = "a shop file holds " + listOr(names)
		case name.Value == "printer":
			if jaws := child(job, "jaws"); jaws != nil && jaws.Kind == yaml.MappingNode && child(jaws, "printer") == nil {
				jaws.Content = append(jaws.Content, name, section)
			}
		case name.Value == "tools" && child(job, "tools") != nil:
			r.joinTools(child(job, "tools"), section, s)
		case child(job, name.Value) == nil:
			job.Content = append(job.Content, name, section)
		}
	}
	if child(shop, "units") == nil {
		r.fault(f, shop, "units", "the shop file has no units", "add units: mm or units: inch")
	}
}

func (r *reader) joinTools(mine, shop *yaml.Node, s *source) {
	if mine.Kind != yaml.MappingNode || shop.Kind != yaml.MappingNode {
		return
	}
	for i := 0; i+1 < len(shop.Content); i += 2 {
		if child(mine, shop.Content[i].Value) == nil {
			r.from[shop.Content[i]] = s
			mine.Content = append(mine.Content, shop.Content[i], shop.Content[i+1])
		}
	}
}

// child is the value of a key, or nil.
func child(n *yaml.Node, name string) *yaml.Node {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == name {
			return n.Content[i+1]
		}
	}
	return nil
}
