/** A site file in which every key stands once at least, but for those of surfaces: see surfaces.test.ts. */
export const FULL_SITE = `\
place = "Skerry Mere Rowing Club"
zone = "Europe/London"
altitude_m = 62
latitude_deg = 54.4
longitude_deg = -3.0

[limits]
air_temperature_degC = [-60, 50]
relative_humidity_pct = [0, 103]

[[logger]]
id = "boat-hall"
name = "Boat hall, north wall"
files = ["boat-hall*.csv"]
cadence = "PT30M"
zone = "UTC"
bridge = "PT1H"

[logger.limits]
air_temperature_degC = [-30, 45]

[logger.sensor]
air_temperature_accuracy_K = 0.3
relative_humidity_accuracy_pct = 2
air_temperature_range_degC = [-40, 80]
relative_humidity_range_pct = [0, 100]

[logger.reading]
time_column = "recorded_at"
temperature_column = "temp"
humidity_column = "hum"
logger_column = "device"
temperature_unit = "degF"
date_order = "day-first"
delimiter = ";"
decimal = ","

[[logger.surface]]
name = "slipway winch"
model = "mass"
time_constant = "PT3H"

[[logger.surface]]
name = "air"
model = "air"

[[logger]]
id = "sail-loft"
files = []

[logger.sensor]
air_temperature_accuracy_K = 0.2
`;
