package thermal

// cabinetK is how much warmer a closed cabinet is than the shop round it while
// the machine runs. Shop judgement, no source.
const cabinetK = 8.0

// ShopC is the air round the part in °C: the shop's, or a closed cabinet's.
func ShopC(ambientC float64, cabinet bool) float64 {
	if cabinet {
		return ambientC + cabinetK
	}
	return ambientC
}
