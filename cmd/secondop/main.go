// Command secondop designs printed soft jaws for one more operation on a
// finished part and judges grip, heat and fit from one job file.
package main

func main() {}
