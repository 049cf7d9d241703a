BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0001');
CREATE TABLE care_tokens (
	table_number TEXT NOT NULL, 
	token TEXT NOT NULL, 
	salt BLOB NOT NULL, 
	hash TEXT NOT NULL, 
	PRIMARY KEY (table_number), 
	UNIQUE (token), 
	UNIQUE (hash)
)
 STRICT

;
INSERT INTO "care_tokens" VALUES('100000137','EEEEFFFFGGGGHHHH',X'00000000000000000000000000000003','c377bcf276d6cd4b1cbff54ca54d4986d2dd0c58ce6f5342335d7cdae3e9d988');
CREATE TABLE closed_actions (
	table_number TEXT NOT NULL, 
	action TEXT NOT NULL, 
	result TEXT NOT NULL, 
	closed INTEGER NOT NULL, 
	PRIMARY KEY (table_number, action), 
	FOREIGN KEY(closed) REFERENCES events (seq)
)
 STRICT

;
INSERT INTO "closed_actions" VALUES('100000137','B3 inner nut','done',5);
CREATE TABLE events (
	seq INTEGER NOT NULL, 
	at TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	subject TEXT NOT NULL, 
	body TEXT NOT NULL, 
	previous TEXT NOT NULL, 
	hash TEXT NOT NULL, 
	PRIMARY KEY (seq), 
	UNIQUE (previous), 
	UNIQUE (hash)
)
 STRICT

;
INSERT INTO "events" VALUES(1,'2026-11-24T09:00:00.000000Z','table described','100000137','{"description":{"legs":5,"length":"22 ft","name":"Long one"},"schema":1}','0000000000000000000000000000000000000000000000000000000000000000','af01d6d1a7a90f340d79e07ea19ae71308451649c6f636082c33af0bfca6ccaa');
INSERT INTO "events" VALUES(2,'2026-11-24T09:01:00.000000Z','table described','100000234','{"description":{"legs":2,"length":"9 ft","name":"Short one"},"schema":1}','af01d6d1a7a90f340d79e07ea19ae71308451649c6f636082c33af0bfca6ccaa','1c40783c3b73f8dfb6312a5076858b48e85648b229b02e58ac7e74923d471f54');
INSERT INTO "events" VALUES(3,'2026-11-24T09:02:00.000000Z','table described','100000137','{"description":{"legs":5,"length":"22 ft","name":"Long one, hall"},"schema":1}','1c40783c3b73f8dfb6312a5076858b48e85648b229b02e58ac7e74923d471f54','8e15d2c228f1aa05ab9cb26c384c8111955fda7aba4a183163705aad73be6f3e');
INSERT INTO "events" VALUES(4,'2026-11-24T09:03:00.000000Z','action closed','100000137','{"action":"B3 inner nut","result":"not possible","schema":1,"who":{"private":"9d1ce37efdae5564e38b9fd7f0153f39a7b4429457d47002764a17ff5a0a1f43"},"why":"looked at the paper"}','8e15d2c228f1aa05ab9cb26c384c8111955fda7aba4a183163705aad73be6f3e','8ed7bfa881151d53e98c57345f4399266fba444002db73922591eaec8a2e0391');
INSERT INTO "events" VALUES(5,'2026-11-24T09:04:00.000000Z','action closed','100000137','{"action":"B3 inner nut","result":"done","schema":1,"who":{"private":"f5f3387f5a24714a7d6260a722cebc33b5ed0067aa14cf2e9f84115b3b83bd49"},"why":"looked at the paper"}','8ed7bfa881151d53e98c57345f4399266fba444002db73922591eaec8a2e0391','f673f5c869173346b3344dea2dc69e23be91eed0c852353d6013af34a5a3ea62');
INSERT INTO "events" VALUES(6,'2026-11-24T09:05:00.000000Z','care token issued','100000137','{"schema":1,"token":{"private":"297bc90f401eb5cba7824ee305ca6ed5467c4f699bd4e880794c31e34f1f44eb"}}','f673f5c869173346b3344dea2dc69e23be91eed0c852353d6013af34a5a3ea62','52d1da2a6fd0176803902045ff90e7ca8706d0cf15f91e98751485d84f0f4670');
INSERT INTO "events" VALUES(7,'2026-11-24T09:06:00.000000Z','care token issued','100000137','{"schema":1,"token":{"private":"c377bcf276d6cd4b1cbff54ca54d4986d2dd0c58ce6f5342335d7cdae3e9d988"}}','52d1da2a6fd0176803902045ff90e7ca8706d0cf15f91e98751485d84f0f4670','8315904642970d9f1cb259327f9a48691049485f0af8fb7da3ebb4b984001c81');
INSERT INTO "events" VALUES(8,'2026-11-24T09:07:00.000000Z','form printed','ST01','{"described":3,"form_kind":"service","layout":{"private":"aa73fe2402abb45cf57c437c8908c5e296cb15f35cfd8aa408ea992169d74fa1"},"optional_pages":[3],"pages":[1,2],"printed_on":"2026-11-20","schema":1,"table":"100000137"}','8315904642970d9f1cb259327f9a48691049485f0af8fb7da3ebb4b984001c81','e2929b4bce3bb7ebe2c36aabe5e7bf1aa5587289e95d69a5ecaac3646fcf6dbb');
INSERT INTO "events" VALUES(9,'2026-11-24T09:08:00.000000Z','page read','ST01','{"left_out":0,"model":"digits 1","page":1,"photo":"67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db","position":0,"readings":{"count":{"confidence":"0.6","status":"doubtful","value":3,"why":"faint"},"notes":{"confidence":"0.999","crop":"ab/note.png","ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"0ef0f8791c786be65c1072f7523a40098e3ee952a903f8b421d02568ef375bd9"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":1}','e2929b4bce3bb7ebe2c36aabe5e7bf1aa5587289e95d69a5ecaac3646fcf6dbb','cd9baff8c89a3eb941f315e341120cc662a7a6cd194f00e9728cf24c966d1433');
INSERT INTO "events" VALUES(10,'2026-11-24T09:08:00.000000Z','page read','ST01','{"left_out":0,"model":"digits 1","page":2,"photo":"67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db","position":1,"readings":{"locked":{"confidence":"0.999","status":"sure","value":true}},"residual_mm":"0.1","scale":"1.001","schema":1}','cd9baff8c89a3eb941f315e341120cc662a7a6cd194f00e9728cf24c966d1433','1d663afa7156d73f15c9cba49c49728c8d5e0bfc5f52413e878d919b777576e8');
INSERT INTO "events" VALUES(11,'2026-11-24T09:09:00.000000Z','value settled','ST01','{"field":"count","schema":1,"value":4,"who":{"private":"9b22fe5962a7a72f011216fecd3d68f7f1a1267c40e0fc74d0c530484183c825"},"why":"looked at the paper"}','1d663afa7156d73f15c9cba49c49728c8d5e0bfc5f52413e878d919b777576e8','07a6da2b4c319d86f029ca9dfd8029b8fd66cc2b12663fcf98aef714ccd53e82');
INSERT INTO "events" VALUES(12,'2026-11-24T09:10:00.000000Z','value settled','ST01','{"field":"count","schema":1,"value":2,"who":{"private":"0f5e10bd73e02cd0f4a0b5726c5f7fd45902cb14dac5db39d604f601a4490633"},"why":"looked at the paper"}','07a6da2b4c319d86f029ca9dfd8029b8fd66cc2b12663fcf98aef714ccd53e82','f51d19704049ff01b43600ed57416f2a887ac3ee6c8e64e7c8226d9023ba9976');
INSERT INTO "events" VALUES(13,'2026-11-24T09:11:00.000000Z','form closed','ST01','{"schema":1,"who":{"private":"dd7937a8d7d786a6ea568ae80fcbcc5982c0be019b6d1cf1e6618fb15cb5d235"},"why":"looked at the paper"}','f51d19704049ff01b43600ed57416f2a887ac3ee6c8e64e7c8226d9023ba9976','8e449a2154bd30b9f6103bc3138586ed506e8429f7f5c2bd856bb94b3193e8a8');
INSERT INTO "events" VALUES(14,'2026-11-24T09:12:00.000000Z','form printed','CF01','{"described":3,"form_kind":"service","layout":{"private":"ceea64f73e17b9541867e4e4d3c502b351bc4f77f34e287383ce85fce3e75ec3"},"optional_pages":[3],"pages":[1,2],"printed_on":"2026-11-22","schema":1,"table":"100000137"}','8e449a2154bd30b9f6103bc3138586ed506e8429f7f5c2bd856bb94b3193e8a8','5851b94c05865e590fcc9603e4bc10784691c7fc298073b4adac397f4d86089a');
INSERT INTO "events" VALUES(15,'2026-11-24T09:13:00.000000Z','page read','CF01','{"left_out":0,"model":"digits 1","page":1,"photo":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":3},"notes":{"confidence":"0.999","crop":"ab/note.png","ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"597efab9c29eeaac1610163748230a7e966b1fd1bdb4d5b234969a604976ae45"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":1}','5851b94c05865e590fcc9603e4bc10784691c7fc298073b4adac397f4d86089a','44f9b62216169cf53cab03e303e655c20834194d7dabafbb58255835a692d416');
INSERT INTO "events" VALUES(16,'2026-11-24T09:14:00.000000Z','page read','CF01','{"left_out":0,"model":"digits 1","page":1,"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":1},"notes":{"confidence":"0.999","crop":"ab/note.png","ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"f14695e1e8fbb152b921086910636b28239afef05450cc6110db4b32ef4d584e"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":1}','44f9b62216169cf53cab03e303e655c20834194d7dabafbb58255835a692d416','2efb43bea27c1f14f0a0fafd03cd6109054d9d9d3816cfa46af6311d4d54c00a');
INSERT INTO "events" VALUES(17,'2026-11-24T09:14:00.000000Z','fill conflict','CF01','{"fields":["count"],"others":[{"photo":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","position":0}],"page":1,"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0,"schema":1}','2efb43bea27c1f14f0a0fafd03cd6109054d9d9d3816cfa46af6311d4d54c00a','86be2b6122c40ab5dbbc2c5304573553f2d4862597eecf29ecb2d6fb02b29e98');
INSERT INTO "events" VALUES(18,'2026-11-24T09:14:00.000000Z','page read','CF01','{"left_out":0,"model":"digits 1","page":2,"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":1,"readings":{"locked":{"confidence":"0.0","status":"outside"}},"residual_mm":"0.1","scale":"1.001","schema":1}','86be2b6122c40ab5dbbc2c5304573553f2d4862597eecf29ecb2d6fb02b29e98','dad7c5034bcfa82b67fe394eee4d912241ca66d169031eaa9b6f78f81bc8e8d5');
INSERT INTO "events" VALUES(19,'2026-11-24T09:15:00.000000Z','page read','CF01','{"left_out":0,"model":"digits 1","page":1,"photo":"77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":4},"notes":{"confidence":"0.999","crop":"ab/note.png","ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"dae3b4dae06ad46b7693aa1a9948e1d3bd9b87d9e6aa23998f0d84fe875c9cea"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":1}','dad7c5034bcfa82b67fe394eee4d912241ca66d169031eaa9b6f78f81bc8e8d5','797bcc99299e02b6b2024e60133cc30eedfe77bccd7ddbde009bdabdb964840b');
INSERT INTO "events" VALUES(20,'2026-11-24T09:15:00.000000Z','fill conflict','CF01','{"fields":["count"],"others":[{"photo":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","position":0},{"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0}],"page":1,"photo":"77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6","position":0,"schema":1}','797bcc99299e02b6b2024e60133cc30eedfe77bccd7ddbde009bdabdb964840b','5fa09605afd4d50bf8927103852a3cbb94efb7cdc9a73dc08491dabec23abc81');
INSERT INTO "events" VALUES(21,'2026-11-24T09:16:00.000000Z','photo set aside','CF01','{"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0,"schema":1,"who":{"private":"4f8563334ff04394eb90017176c7fd564daa78dc518959ceace0ec18b0573edb"},"why":"looked at the paper"}','5fa09605afd4d50bf8927103852a3cbb94efb7cdc9a73dc08491dabec23abc81','bf800905b8d08170f7c40d9b13ebc12607003293e10ae564a62142c2839912dd');
INSERT INTO "events" VALUES(22,'2026-11-24T09:17:00.000000Z','layout added','EW01','{"form_kind":"service","layout":{"private":"275b359214cd01316ea079c618cb67af2269f64484d390626d5c24300aa4dd08"},"optional_pages":[],"pages":[1,2,3],"schema":1,"table":"999999999"}','bf800905b8d08170f7c40d9b13ebc12607003293e10ae564a62142c2839912dd','c2ec3a09b251359d30ee54736e51f8b4931f9343f6a44681b6a8c285c5f611e6');
INSERT INTO "events" VALUES(23,'2026-11-24T09:18:00.000000Z','form printed','PR01','{"described":2,"form_kind":"service","layout":{"private":"30570c4113edfa92d806e43b962b4754d3d6f39b97f6fc4475fa3d72613093f4"},"optional_pages":[],"pages":[1,2,3],"printed_on":"2026-11-24","schema":1,"table":"100000234"}','c2ec3a09b251359d30ee54736e51f8b4931f9343f6a44681b6a8c285c5f611e6','8a8dbc8d418e7c4da24f112284064f2c73348c4f3fcec70dbdd83aaa31334c2d');
CREATE TABLE forms (
	number TEXT NOT NULL, 
	table_number TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	state TEXT NOT NULL, 
	printed_on TEXT, 
	first_event INTEGER NOT NULL, 
	PRIMARY KEY (number), 
	FOREIGN KEY(first_event) REFERENCES events (seq)
)
 STRICT

;
INSERT INTO "forms" VALUES('ST01','100000137','service','closed','2026-11-20',8);
INSERT INTO "forms" VALUES('CF01','100000137','service','in','2026-11-22',14);
INSERT INTO "forms" VALUES('EW01','999999999','service','printed',NULL,22);
INSERT INTO "forms" VALUES('PR01','100000234','service','printed','2026-11-24',23);
CREATE TABLE open_doubts (
	form TEXT NOT NULL, 
	field TEXT NOT NULL, 
	table_number TEXT NOT NULL, 
	page INTEGER NOT NULL, 
	reading TEXT NOT NULL, 
	PRIMARY KEY (form, field)
)
 STRICT

;
INSERT INTO "open_doubts" VALUES('CF01','count','100000137',1,'{"confidence":"0.5","status":"doubtful","value":4,"why":"photos of this page disagree"}');
INSERT INTO "open_doubts" VALUES('CF01','locked','100000137',2,'{"confidence":"0.0","status":"outside"}');
CREATE TABLE page_photos (
	sha256 TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	form TEXT NOT NULL, 
	page INTEGER NOT NULL, 
	left_out INTEGER NOT NULL, 
	PRIMARY KEY (sha256, position, form, page)
)
 STRICT

;
INSERT INTO "page_photos" VALUES('67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db',0,'ST01',1,0);
INSERT INTO "page_photos" VALUES('67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db',1,'ST01',2,0);
INSERT INTO "page_photos" VALUES('9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a',0,'CF01',1,0);
INSERT INTO "page_photos" VALUES('cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556',0,'CF01',1,0);
INSERT INTO "page_photos" VALUES('cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556',1,'CF01',2,0);
INSERT INTO "page_photos" VALUES('77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6',0,'CF01',1,0);
CREATE TABLE private_texts (
	hash TEXT NOT NULL, 
	salt BLOB NOT NULL, 
	text TEXT NOT NULL, 
	PRIMARY KEY (hash)
)
 STRICT

;
INSERT INTO "private_texts" VALUES('9d1ce37efdae5564e38b9fd7f0153f39a7b4429457d47002764a17ff5a0a1f43',X'00000000000000000000000000000000','A. Clerk');
INSERT INTO "private_texts" VALUES('f5f3387f5a24714a7d6260a722cebc33b5ed0067aa14cf2e9f84115b3b83bd49',X'00000000000000000000000000000001','A. Clerk');
INSERT INTO "private_texts" VALUES('aa73fe2402abb45cf57c437c8908c5e296cb15f35cfd8aa408ea992169d74fa1',X'00000000000000000000000000000004','{"layout":1,"form":"ST01","kind":"service","table":"100000137","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"ST01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"ST01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"ST01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('0ef0f8791c786be65c1072f7523a40098e3ee952a903f8b421d02568ef375bd9',X'00000000000000000000000000000005','AB');
INSERT INTO "private_texts" VALUES('9b22fe5962a7a72f011216fecd3d68f7f1a1267c40e0fc74d0c530484183c825',X'00000000000000000000000000000006','A. Clerk');
INSERT INTO "private_texts" VALUES('0f5e10bd73e02cd0f4a0b5726c5f7fd45902cb14dac5db39d604f601a4490633',X'00000000000000000000000000000007','A. Clerk');
INSERT INTO "private_texts" VALUES('dd7937a8d7d786a6ea568ae80fcbcc5982c0be019b6d1cf1e6618fb15cb5d235',X'00000000000000000000000000000008','A. Clerk');
INSERT INTO "private_texts" VALUES('ceea64f73e17b9541867e4e4d3c502b351bc4f77f34e287383ce85fce3e75ec3',X'00000000000000000000000000000009','{"layout":1,"form":"CF01","kind":"service","table":"100000137","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"CF01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"CF01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"CF01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('597efab9c29eeaac1610163748230a7e966b1fd1bdb4d5b234969a604976ae45',X'0000000000000000000000000000000A','AB');
INSERT INTO "private_texts" VALUES('f14695e1e8fbb152b921086910636b28239afef05450cc6110db4b32ef4d584e',X'0000000000000000000000000000000B','AB');
INSERT INTO "private_texts" VALUES('dae3b4dae06ad46b7693aa1a9948e1d3bd9b87d9e6aa23998f0d84fe875c9cea',X'0000000000000000000000000000000C','AB');
INSERT INTO "private_texts" VALUES('4f8563334ff04394eb90017176c7fd564daa78dc518959ceace0ec18b0573edb',X'0000000000000000000000000000000D','A. Clerk');
INSERT INTO "private_texts" VALUES('275b359214cd01316ea079c618cb67af2269f64484d390626d5c24300aa4dd08',X'0000000000000000000000000000000E','{"layout":1,"form":"EW01","kind":"service","table":"999999999","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"EW01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"EW01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"EW01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('30570c4113edfa92d806e43b962b4754d3d6f39b97f6fc4475fa3d72613093f4',X'0000000000000000000000000000000F','{"layout":1,"form":"PR01","kind":"service","table":"100000234","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"PR01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"PR01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"PR01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
CREATE TABLE tables (
	number TEXT NOT NULL, 
	registered INTEGER NOT NULL, 
	described INTEGER NOT NULL, 
	PRIMARY KEY (number), 
	FOREIGN KEY(registered) REFERENCES events (seq), 
	FOREIGN KEY(described) REFERENCES events (seq)
)
 STRICT

;
INSERT INTO "tables" VALUES('100000234',2,2);
INSERT INTO "tables" VALUES('100000137',1,3);
CREATE INDEX events_subject ON events (subject, seq);
CREATE INDEX ix_forms_table_number ON forms (table_number);
CREATE INDEX ix_forms_state ON forms (state);
CREATE INDEX ix_page_photos_form ON page_photos (form);
CREATE TRIGGER events_no_update BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events can only be added to'); END;
CREATE TRIGGER events_no_delete BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events can only be added to'); END;
CREATE TRIGGER events_no_replace BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq OR previous = NEW.previous OR hash = NEW.hash) BEGIN SELECT RAISE(ABORT, 'events can only be added to'); END;
COMMIT;
