package guard

// HeatIndex is the sum horse people use for hot days: degrees Fahrenheit plus
// relative humidity in per cent (exercise §4, seen).
func HeatIndex(temperatureC, humidityPct float64) float64 {
	return temperatureC*9/5 + 32 + humidityPct
}

// Race yards: fracture risk was raised where thirty days held more than these,
// km, of canter (up to 14 m/s) together with gallop: Verheyen and others 2006,
// 1,178 horses (exercise §6, seen).
const (
	RaceCanterKm30Days = 44.0
	RaceGallopKm30Days = 6.0
)
