BEGIN TRANSACTION;
CREATE TABLE alembic_version (
	version_num VARCHAR(32) NOT NULL, 
	CONSTRAINT alembic_version_pkc PRIMARY KEY (version_num)
);
INSERT INTO "alembic_version" VALUES('0006');
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
INSERT INTO "events" VALUES(2,'2026-11-24T09:01:00.000000Z','table described','100000234','{"description":{"build":"nine foot","legs":2,"length":"9 ft","name":"Short one"},"schema":1}','af01d6d1a7a90f340d79e07ea19ae71308451649c6f636082c33af0bfca6ccaa','2e2e63fc4f81299eda1fbac2aae1082300ee22f4505e36eb021b7694a138bd74');
INSERT INTO "events" VALUES(3,'2026-11-24T09:02:00.000000Z','table described','100000137','{"description":{"legs":5,"length":"22 ft","name":"Long one, hall"},"schema":1}','2e2e63fc4f81299eda1fbac2aae1082300ee22f4505e36eb021b7694a138bd74','662a59866163fb47bafd84e972bcfcf3b2f2b39442dd4f2aa1191e5631b3bafe');
INSERT INTO "events" VALUES(4,'2026-11-24T09:03:00.000000Z','action closed','100000137','{"action":"B3 inner nut","result":"not possible","schema":1,"who":{"private":"9d1ce37efdae5564e38b9fd7f0153f39a7b4429457d47002764a17ff5a0a1f43"},"why":"looked at the paper"}','662a59866163fb47bafd84e972bcfcf3b2f2b39442dd4f2aa1191e5631b3bafe','9d25394c12a70dbb105e287d9040c4319c624031fd820b8523bd1107005b8de3');
INSERT INTO "events" VALUES(5,'2026-11-24T09:04:00.000000Z','action closed','100000137','{"action":"B3 inner nut","result":"done","schema":1,"who":{"private":"f5f3387f5a24714a7d6260a722cebc33b5ed0067aa14cf2e9f84115b3b83bd49"},"why":"looked at the paper"}','9d25394c12a70dbb105e287d9040c4319c624031fd820b8523bd1107005b8de3','6fe517940424f596ec26ee6ba2a76a9fecc71f60693b4fef0a759e63e970a37a');
INSERT INTO "events" VALUES(6,'2026-11-24T09:05:00.000000Z','care token issued','100000137','{"schema":1,"token":{"private":"297bc90f401eb5cba7824ee305ca6ed5467c4f699bd4e880794c31e34f1f44eb"}}','6fe517940424f596ec26ee6ba2a76a9fecc71f60693b4fef0a759e63e970a37a','bd83fbb4f221a0778c8ae4d519d5c72f51cb1c112dedd61c6e739767a93ebc78');
INSERT INTO "events" VALUES(7,'2026-11-24T09:06:00.000000Z','care token issued','100000137','{"schema":1,"token":{"private":"c377bcf276d6cd4b1cbff54ca54d4986d2dd0c58ce6f5342335d7cdae3e9d988"}}','bd83fbb4f221a0778c8ae4d519d5c72f51cb1c112dedd61c6e739767a93ebc78','6552e42c6c5b61b6f61ddf960dcf79040ff1d548550b56d1581b79c04ba7e632');
INSERT INTO "events" VALUES(8,'2026-11-24T09:07:00.000000Z','form printed','ST01','{"described":3,"form_kind":"service","layout":{"private":"aa73fe2402abb45cf57c437c8908c5e296cb15f35cfd8aa408ea992169d74fa1"},"optional_pages":[3],"pages":[1,2],"printed_on":"2026-11-20","schema":1,"table":"100000137"}','6552e42c6c5b61b6f61ddf960dcf79040ff1d548550b56d1581b79c04ba7e632','4868427ed8dcbf0293c14c6f4fad463b31cec9ed87aec5f3545a1184c99559a6');
INSERT INTO "events" VALUES(9,'2026-11-24T09:08:00.000000Z','page read','ST01','{"kept":"67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db","left_out":0,"model":"digits 1","page":1,"photo":"67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db","position":0,"readings":{"count":{"confidence":"0.6","status":"doubtful","value":3,"why":"faint"},"notes":{"confidence":"0.999","crop":{"private":"386cc3269e0c59c7a3aa2f3db239c3c281e3068431fa860a83de05316e55ac42"},"ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"0ef0f8791c786be65c1072f7523a40098e3ee952a903f8b421d02568ef375bd9"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":2}','4868427ed8dcbf0293c14c6f4fad463b31cec9ed87aec5f3545a1184c99559a6','bb0490cb6e3725d4ba59145c1ac8c345fbdbf1473a62192cb4fa6ef541b618fb');
INSERT INTO "events" VALUES(10,'2026-11-24T09:08:00.000000Z','page read','ST01','{"kept":"67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db","left_out":0,"model":"digits 1","page":2,"photo":"67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db","position":1,"readings":{"locked":{"confidence":"0.999","status":"sure","value":true}},"residual_mm":"0.1","scale":"1.001","schema":2}','bb0490cb6e3725d4ba59145c1ac8c345fbdbf1473a62192cb4fa6ef541b618fb','fd1fb5158eafae4d90432ad6ad7c418e070f8570a337d6afe165a6782f5d1969');
INSERT INTO "events" VALUES(11,'2026-11-24T09:09:00.000000Z','value settled','ST01','{"field":"count","schema":1,"value":4,"who":{"private":"0f5e10bd73e02cd0f4a0b5726c5f7fd45902cb14dac5db39d604f601a4490633"},"why":"looked at the paper"}','fd1fb5158eafae4d90432ad6ad7c418e070f8570a337d6afe165a6782f5d1969','7e3962bdcca136e7fc44addb96afc02c8fb291f2f73ce71b21358a129ecbf562');
INSERT INTO "events" VALUES(12,'2026-11-24T09:10:00.000000Z','value settled','ST01','{"field":"count","schema":1,"value":2,"who":{"private":"dd7937a8d7d786a6ea568ae80fcbcc5982c0be019b6d1cf1e6618fb15cb5d235"},"why":"looked at the paper"}','7e3962bdcca136e7fc44addb96afc02c8fb291f2f73ce71b21358a129ecbf562','8d9a1acebb80961efaa85e69df883f13c24a4d6bcc4fa1f56542fb485842d19e');
INSERT INTO "events" VALUES(13,'2026-11-24T09:11:00.000000Z','form closed','ST01','{"schema":1,"who":{"private":"ee153a36fb51e80bd8b7a42dd226ced83361c21b8ecee2d1a1441b02d1c7a9ba"},"why":"looked at the paper"}','8d9a1acebb80961efaa85e69df883f13c24a4d6bcc4fa1f56542fb485842d19e','6145679eaa90dfb4cf9f6707af7d85d7d22a43fce3c7e05923f9c12363cdec1a');
INSERT INTO "events" VALUES(14,'2026-11-24T09:12:00.000000Z','form printed','CF01','{"described":3,"form_kind":"service","layout":{"private":"3ebf8560f6a717087d8485cadd8307d31393d1ed389f0b5a0e94ded8f6250087"},"optional_pages":[3],"pages":[1,2],"printed_on":"2026-11-22","schema":1,"table":"100000137"}','6145679eaa90dfb4cf9f6707af7d85d7d22a43fce3c7e05923f9c12363cdec1a','69524b033ed92ea9c52776f997292f6c4d01c04bb4c879864bdb0c39207c41c5');
INSERT INTO "events" VALUES(15,'2026-11-24T09:13:00.000000Z','page read','CF01','{"kept":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","left_out":0,"model":"digits 1","page":1,"photo":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":3},"notes":{"confidence":"0.999","crop":{"private":"19096c80786c83b9125733432fdeced77513ebc52b2507983bac2e19b5a596cc"},"ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"f14695e1e8fbb152b921086910636b28239afef05450cc6110db4b32ef4d584e"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":2}','69524b033ed92ea9c52776f997292f6c4d01c04bb4c879864bdb0c39207c41c5','bcc63a5b25fd39e68f5e43d8bf55aa1cf3cb6a8bffee124466d30f2f238d5f1f');
INSERT INTO "events" VALUES(16,'2026-11-24T09:14:00.000000Z','page read','CF01','{"kept":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","left_out":0,"model":"digits 1","page":1,"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":1},"notes":{"confidence":"0.999","crop":{"private":"84c6dee959725b5210cc4d4c314c879c2dc6a3c88ca57b59d6c4474362a00095"},"ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"be27135de8cbc1e26b5970867d4bac683d459670845a2f95751f0f07c4b5d65c"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":2}','bcc63a5b25fd39e68f5e43d8bf55aa1cf3cb6a8bffee124466d30f2f238d5f1f','11d81350505f8e9ec20cc3d9ebc84b1aa657bbb7227da6ad9899299f64e38818');
INSERT INTO "events" VALUES(17,'2026-11-24T09:14:00.000000Z','fill conflict','CF01','{"fields":["count"],"others":[{"photo":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","position":0}],"page":1,"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0,"schema":1}','11d81350505f8e9ec20cc3d9ebc84b1aa657bbb7227da6ad9899299f64e38818','7915bab8dfde1a277818d787176184a962b3550dc8479855aff7aa3fdf707003');
INSERT INTO "events" VALUES(18,'2026-11-24T09:14:00.000000Z','page read','CF01','{"kept":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","left_out":0,"model":"digits 1","page":2,"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":1,"readings":{"locked":{"confidence":"0.0","status":"outside"}},"residual_mm":"0.1","scale":"1.001","schema":2}','7915bab8dfde1a277818d787176184a962b3550dc8479855aff7aa3fdf707003','8ed08370a75c835903cf99b4e0a01cc884be3d7a4c6ed1b3ad189a3529961dd8');
INSERT INTO "events" VALUES(19,'2026-11-24T09:15:00.000000Z','page read','CF01','{"kept":"77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6","left_out":0,"model":"digits 1","page":1,"photo":"77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":4},"notes":{"confidence":"0.999","crop":{"private":"c725f39f6e338769873a8fac37cc0bdc3751317de19bfbda014b838c5537de4a"},"ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"cfa78b4588672823ff6cdac37bc4a07f6839d54c4089cb69c2956af37d451ae8"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":2}','8ed08370a75c835903cf99b4e0a01cc884be3d7a4c6ed1b3ad189a3529961dd8','904865855a79717510b794233c3f3f2776d4dd53ae39f2cb2b93c48234d857d5');
INSERT INTO "events" VALUES(20,'2026-11-24T09:15:00.000000Z','fill conflict','CF01','{"fields":["count"],"others":[{"photo":"9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a","position":0},{"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0}],"page":1,"photo":"77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6","position":0,"schema":1}','904865855a79717510b794233c3f3f2776d4dd53ae39f2cb2b93c48234d857d5','7c831c45c6e17dd8fe773359f6e84c95c10295c105858da29c163b1cd6ea550a');
INSERT INTO "events" VALUES(21,'2026-11-24T09:16:00.000000Z','photo set aside','CF01','{"photo":"cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556","position":0,"schema":1,"who":{"private":"bea37648bfefd3347c32265ececee1871434737205f4496da79fe317023d591a"},"why":"looked at the paper"}','7c831c45c6e17dd8fe773359f6e84c95c10295c105858da29c163b1cd6ea550a','a44b048aa68a11269cef5f54c5a1537b151beffcea952f626c0e117c5dfebe36');
INSERT INTO "events" VALUES(22,'2026-11-24T09:17:00.000000Z','layout added','EW01','{"form_kind":"service","layout":{"private":"24dd62c08c39bc13e18695f78629b35f3f971a0c670dfe47b92f1455faf76909"},"optional_pages":[],"pages":[1,2,3],"schema":1,"table":"999999999"}','a44b048aa68a11269cef5f54c5a1537b151beffcea952f626c0e117c5dfebe36','f10b786b9c2b7e1392728ebc8ba01bad315064688e1c7cff422504832fa1b0ee');
INSERT INTO "events" VALUES(23,'2026-11-24T09:18:00.000000Z','form printed','PR01','{"described":2,"form_kind":"service","layout":{"private":"b8cecba5a60332600b13dfdba1c201a85c2e946751b3d5ef62275541b3df2f47"},"optional_pages":[],"pages":[1,2,3],"printed_on":"2026-11-24","schema":1,"table":"100000234"}','f10b786b9c2b7e1392728ebc8ba01bad315064688e1c7cff422504832fa1b0ee','2fd80039616765f5e7cf9885ade58b0f421d301712a63f8942131e108ccb2a24');
INSERT INTO "events" VALUES(24,'2026-11-24T09:19:00.000000Z','contact given','100000137','{"name":{"private":"d108fffa5ec2752c265363f7f88b47ef308d9bec1596b046ee4a326ba49de565"},"phone":{"private":"ea682dd1ed791e139dae906a5a86b4fdd9561b7e81467e5a733c5a61e70c546b"},"schema":1}','2fd80039616765f5e7cf9885ade58b0f421d301712a63f8942131e108ccb2a24','341bb5daba733486b5f05bd1a22c58ab5a5014b1a73980dd760ea66c8ba18d4e');
INSERT INTO "events" VALUES(25,'2026-11-24T09:20:00.000000Z','contact given','100000234','{"email":{"private":"f554db3a80589884445e39801fbe863704649b19bed12f51d82b4cd8d03e9df6"},"name":{"private":"3655c970cd1778d1514be67adc0d096fe0377096210fe740edd486f9b8dad73c"},"schema":1}','341bb5daba733486b5f05bd1a22c58ab5a5014b1a73980dd760ea66c8ba18d4e','81c1e1ddbaa736727e54d0af916f48c2ea02e56fb022bf45435e07bb417d8052');
INSERT INTO "events" VALUES(26,'2026-11-24T09:21:00.000000Z','table forgotten','100000234','{"removed":["3655c970cd1778d1514be67adc0d096fe0377096210fe740edd486f9b8dad73c","f554db3a80589884445e39801fbe863704649b19bed12f51d82b4cd8d03e9df6"],"schema":1,"who":{"private":"435a6487286d179e2b5d488f56aaff3bd1d32b408ce45b4ab8b08a5b69cc4647"},"why":"looked at the paper"}','81c1e1ddbaa736727e54d0af916f48c2ea02e56fb022bf45435e07bb417d8052','f8194756a0f2b7041df73afb33b19c49c31cd209a5a629b77a8c751d447ba131');
INSERT INTO "events" VALUES(27,'2026-11-24T09:22:00.000000Z','form printed','FG01','{"described":2,"form_kind":"service","layout":{"private":"1cab17d2923f342aa8364ca8b14c9eca8641b2e5a616423f54237dc48ecb9699"},"optional_pages":[3],"pages":[1,2],"printed_on":"2026-11-23","schema":1,"table":"100000234"}','f8194756a0f2b7041df73afb33b19c49c31cd209a5a629b77a8c751d447ba131','4b52e60613debcb49d32b58403cb563e57fe6eebb4314c6205dab4709cd5d478');
INSERT INTO "events" VALUES(28,'2026-11-24T09:23:00.000000Z','page read','FG01','{"kept":"61baea776eb707acc32aeffc65b07456492cffaeb5ce1b523f4480246dbd08b4","left_out":0,"model":"digits 1","page":1,"photo":"61baea776eb707acc32aeffc65b07456492cffaeb5ce1b523f4480246dbd08b4","position":0,"readings":{"count":{"confidence":"0.99","status":"sure","value":2},"notes":{"confidence":"0.999","crop":{"private":"475671441c3cfd6b785048f2629146ded0e5bacb0427d96a7d79f6584e085cde"},"ink":true,"status":"sure"},"sign":{"confidence":"0.998","status":"sure","value":"-"},"technician":{"confidence":"0.997","status":"sure","value":{"private":"957c133e631516fbcfe7168561cab2d2e802fda4dfb12c6a88fe6200d48b161e"}},"tilt":{"confidence":"0.991","status":"sure","value":{"decimal":"0.40"}},"untouched":{"confidence":"0.9997","status":"sure","value":false}},"residual_mm":"0.12","scale":"0.998","schema":2}','4b52e60613debcb49d32b58403cb563e57fe6eebb4314c6205dab4709cd5d478','497baa2abb188d8ab8c6f0ca7b87d33837f40cba61d4c466a3fc860083e97bee');
INSERT INTO "events" VALUES(29,'2026-11-24T09:24:00.000000Z','form forgotten','FG01','{"layout":{"private":"4b4ff1677ad1ce586ac7533bdad90db07a28373d04304bf2310ed80491ff6dd7"},"photos":["61baea776eb707acc32aeffc65b07456492cffaeb5ce1b523f4480246dbd08b4"],"removed":["1cab17d2923f342aa8364ca8b14c9eca8641b2e5a616423f54237dc48ecb9699","475671441c3cfd6b785048f2629146ded0e5bacb0427d96a7d79f6584e085cde","957c133e631516fbcfe7168561cab2d2e802fda4dfb12c6a88fe6200d48b161e"],"schema":1,"who":{"private":"70be2a5b3ed2227ecdd64a13767e2a4a8ba58573e39c4203bdcf61e99c40a98d"},"why":"looked at the paper"}','497baa2abb188d8ab8c6f0ca7b87d33837f40cba61d4c466a3fc860083e97bee','3c41c08898a9982452ed1064b4d51ee3056f2ebc1f8b513111ed2d9bbd4b174e');
INSERT INTO "events" VALUES(30,'2026-11-24T09:25:00.000000Z','table moved','100000137','{"on":"2026-11-25","schema":1,"site":{"private":"cfaef90551a74c97f71b914268372278597e0d455fa43abddedec69e5796f65a"},"who":{"private":"bc259af9983a38e3cbd9b71a2aa95e9c85ed7dd66b2df0a8c314c4f5b8936be9"},"why":"sold"}','3c41c08898a9982452ed1064b4d51ee3056f2ebc1f8b513111ed2d9bbd4b174e','08f93cc6930b67faf5a8f4b61ad13cb0cf28d5eda53ef2c655c5afcf75de544f');
INSERT INTO "events" VALUES(31,'2026-11-24T09:26:00.000000Z','paper printed','100000137','{"on":"2026-11-25","paper":"passport","schema":1}','08f93cc6930b67faf5a8f4b61ad13cb0cf28d5eda53ef2c655c5afcf75de544f','e0ff01a5f7bbdf5d7953d1084fa040d34571d2f93d541808224ce930f48566da');
CREATE TABLE files_to_remove (
	path TEXT NOT NULL, 
	PRIMARY KEY (path)
)
 STRICT

;
CREATE TABLE forms (
	number TEXT NOT NULL, 
	table_number TEXT NOT NULL, 
	kind TEXT NOT NULL, 
	state TEXT NOT NULL, 
	printed_on TEXT, 
	first_event INTEGER NOT NULL, 
	changed INTEGER NOT NULL, pages INTEGER, missing TEXT, 
	PRIMARY KEY (number), 
	FOREIGN KEY(first_event) REFERENCES events (seq), 
	FOREIGN KEY(changed) REFERENCES events (seq)
)
 STRICT

;
INSERT INTO "forms" VALUES('ST01','100000137','service','closed','2026-11-20',8,13,2,'[]');
INSERT INTO "forms" VALUES('CF01','100000137','service','in','2026-11-22',14,21,2,'[]');
INSERT INTO "forms" VALUES('EW01','999999999','service','printed',NULL,22,22,3,'[1, 2, 3]');
INSERT INTO "forms" VALUES('PR01','100000234','service','printed','2026-11-24',23,23,3,'[1, 2, 3]');
INSERT INTO "forms" VALUES('FG01','100000234','service','partly in','2026-11-23',27,29,2,'[2]');
CREATE TABLE kept_files (
	shelf TEXT NOT NULL, 
	hash TEXT NOT NULL, 
	ending TEXT NOT NULL, 
	kept_on INTEGER NOT NULL, 
	content BLOB NOT NULL, 
	PRIMARY KEY (shelf, hash)
)
 STRICT

;
CREATE TABLE kits (
	name TEXT NOT NULL, 
	part TEXT NOT NULL, 
	measured_on TEXT NOT NULL, 
	table_number TEXT NOT NULL, 
	PRIMARY KEY (name, part, measured_on, table_number)
)
 STRICT

;
CREATE TABLE lessons (
	table_number TEXT NOT NULL, 
	build TEXT NOT NULL, 
	stamp TEXT, 
	body BLOB, 
	PRIMARY KEY (table_number)
)
 STRICT

;
INSERT INTO "lessons" VALUES('100000234','nine foot',NULL,NULL);
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
CREATE TABLE outlooks (
	table_number TEXT NOT NULL, 
	changed INTEGER NOT NULL, 
	stale INTEGER NOT NULL, 
	rank INTEGER, 
	due_on TEXT, 
	body TEXT, reckoned_on TEXT, waits INTEGER, 
	PRIMARY KEY (table_number)
)
 STRICT

;
INSERT INTO "outlooks" VALUES('100000137',30,1,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "outlooks" VALUES('100000234',29,1,NULL,NULL,NULL,NULL,NULL);
INSERT INTO "outlooks" VALUES('999999999',22,1,NULL,NULL,NULL,NULL,NULL);
CREATE TABLE page_photos (
	sha256 TEXT NOT NULL, 
	position INTEGER NOT NULL, 
	form TEXT NOT NULL, 
	page INTEGER NOT NULL, 
	left_out INTEGER NOT NULL, 
	kept TEXT NOT NULL, 
	forgotten INTEGER NOT NULL, 
	PRIMARY KEY (sha256, position, form, page)
)
 STRICT

;
INSERT INTO "page_photos" VALUES('67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db',0,'ST01',1,0,'67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db',0);
INSERT INTO "page_photos" VALUES('67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db',1,'ST01',2,0,'67e1565140018ddb2a3d6d01de8e44730d99efe5ee137bac3135368321c7b7db',0);
INSERT INTO "page_photos" VALUES('9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a',0,'CF01',1,0,'9f5cedcb04985bee9adf7b37f59c169bc17d7127de3a41c86802de6f87e8467a',0);
INSERT INTO "page_photos" VALUES('cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556',0,'CF01',1,0,'cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556',0);
INSERT INTO "page_photos" VALUES('cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556',1,'CF01',2,0,'cc293e53daec09291dd04d667e14d23c10c708963e2415f7b07bed3b2e38e556',0);
INSERT INTO "page_photos" VALUES('77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6',0,'CF01',1,0,'77cf530dd49b691f72b401db2c149eec3842326d7913dc1c6ca9a40f7407a6a6',0);
INSERT INTO "page_photos" VALUES('61baea776eb707acc32aeffc65b07456492cffaeb5ce1b523f4480246dbd08b4',0,'FG01',1,0,'61baea776eb707acc32aeffc65b07456492cffaeb5ce1b523f4480246dbd08b4',1);
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
INSERT INTO "private_texts" VALUES('386cc3269e0c59c7a3aa2f3db239c3c281e3068431fa860a83de05316e55ac42',X'00000000000000000000000000000006','ab/note.png');
INSERT INTO "private_texts" VALUES('0f5e10bd73e02cd0f4a0b5726c5f7fd45902cb14dac5db39d604f601a4490633',X'00000000000000000000000000000007','A. Clerk');
INSERT INTO "private_texts" VALUES('dd7937a8d7d786a6ea568ae80fcbcc5982c0be019b6d1cf1e6618fb15cb5d235',X'00000000000000000000000000000008','A. Clerk');
INSERT INTO "private_texts" VALUES('ee153a36fb51e80bd8b7a42dd226ced83361c21b8ecee2d1a1441b02d1c7a9ba',X'00000000000000000000000000000009','A. Clerk');
INSERT INTO "private_texts" VALUES('3ebf8560f6a717087d8485cadd8307d31393d1ed389f0b5a0e94ded8f6250087',X'0000000000000000000000000000000A','{"layout":1,"form":"CF01","kind":"service","table":"100000137","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"CF01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"CF01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"CF01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('f14695e1e8fbb152b921086910636b28239afef05450cc6110db4b32ef4d584e',X'0000000000000000000000000000000B','AB');
INSERT INTO "private_texts" VALUES('19096c80786c83b9125733432fdeced77513ebc52b2507983bac2e19b5a596cc',X'0000000000000000000000000000000C','ab/note.png');
INSERT INTO "private_texts" VALUES('be27135de8cbc1e26b5970867d4bac683d459670845a2f95751f0f07c4b5d65c',X'0000000000000000000000000000000D','AB');
INSERT INTO "private_texts" VALUES('84c6dee959725b5210cc4d4c314c879c2dc6a3c88ca57b59d6c4474362a00095',X'0000000000000000000000000000000E','ab/note.png');
INSERT INTO "private_texts" VALUES('cfa78b4588672823ff6cdac37bc4a07f6839d54c4089cb69c2956af37d451ae8',X'0000000000000000000000000000000F','AB');
INSERT INTO "private_texts" VALUES('c725f39f6e338769873a8fac37cc0bdc3751317de19bfbda014b838c5537de4a',X'00000000000000000000000000000010','ab/note.png');
INSERT INTO "private_texts" VALUES('bea37648bfefd3347c32265ececee1871434737205f4496da79fe317023d591a',X'00000000000000000000000000000011','A. Clerk');
INSERT INTO "private_texts" VALUES('24dd62c08c39bc13e18695f78629b35f3f971a0c670dfe47b92f1455faf76909',X'00000000000000000000000000000012','{"layout":1,"form":"EW01","kind":"service","table":"999999999","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"EW01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"EW01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"EW01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('b8cecba5a60332600b13dfdba1c201a85c2e946751b3d5ef62275541b3df2f47',X'00000000000000000000000000000013','{"layout":1,"form":"PR01","kind":"service","table":"100000234","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"PR01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"AB","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"PR01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"PR01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('d108fffa5ec2752c265363f7f88b47ef308d9bec1596b046ee4a326ba49de565',X'00000000000000000000000000000014','Ann Invented');
INSERT INTO "private_texts" VALUES('ea682dd1ed791e139dae906a5a86b4fdd9561b7e81467e5a733c5a61e70c546b',X'00000000000000000000000000000015','555 0100');
INSERT INTO "private_texts" VALUES('435a6487286d179e2b5d488f56aaff3bd1d32b408ce45b4ab8b08a5b69cc4647',X'00000000000000000000000000000018','A. Clerk');
INSERT INTO "private_texts" VALUES('70be2a5b3ed2227ecdd64a13767e2a4a8ba58573e39c4203bdcf61e99c40a98d',X'0000000000000000000000000000001C','A. Clerk');
INSERT INTO "private_texts" VALUES('4b4ff1677ad1ce586ac7533bdad90db07a28373d04304bf2310ed80491ff6dd7',X'0000000000000000000000000000001D','{"layout":1,"form":"FG01","kind":"service","table":"100000234","pages":[{"page":1,"width_mm":215.9,"height_mm":279.4,"code":{"text":"FG01/1","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"untouched","kind":"tick","label":"OK, not touched","box_mm":[8,50,5,5]},{"id":"count","kind":"scale","label":"Count","unit":"card","options":[{"value":0,"box_mm":[20.0,60,5,5]},{"value":1,"box_mm":[27.2,60,5,5]},{"value":2,"box_mm":[34.4,60,5,5]},{"value":3,"box_mm":[41.6,60,5,5]},{"value":4,"box_mm":[48.8,60,5,5],"bound":true}],"expect":{"value":2,"u":0.6}},{"id":"sign","kind":"choice","label":"Sign","options":[{"value":"+","box_mm":[8,80,5,5]},{"value":"-","box_mm":[15.2,80,5,5]}]},{"id":"tilt","kind":"digits","label":"Tilt","unit":"mm/m","decimals":2,"low":0,"high":9,"boxes_mm":[[30,80,6,8],[37,80,6,8],[44,80,6,8]]},{"id":"technician","kind":"choice","label":"Technician","options":[{"value":"removed 1","box_mm":[8,90,5,5]}]},{"id":"notes","kind":"note","label":"Notes","box_mm":[8,100,170,30]}]},{"page":2,"width_mm":215.9,"height_mm":279.4,"code":{"text":"FG01/2","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"locked","kind":"tick","label":"Locked","box_mm":[8,50,5,5]}]},{"page":3,"width_mm":215.9,"height_mm":279.4,"code":{"text":"FG01/3","box_mm":[180,8,24,24]},"marks":[{"dictionary":"4x4","id":8,"corner_mm":[8.0,8.0],"size_mm":10.0}],"fields":[{"id":"again","kind":"tick","label":"Again","box_mm":[8,50,5,5]}]}]}');
INSERT INTO "private_texts" VALUES('cfaef90551a74c97f71b914268372278597e0d455fa43abddedec69e5796f65a',X'0000000000000000000000000000001E','Mill Hall');
INSERT INTO "private_texts" VALUES('bc259af9983a38e3cbd9b71a2aa95e9c85ed7dd66b2df0a8c314c4f5b8936be9',X'0000000000000000000000000000001F','A. Clerk');
CREATE TABLE standings (
	table_number TEXT NOT NULL, 
	stamp TEXT NOT NULL, 
	body BLOB NOT NULL, 
	PRIMARY KEY (table_number)
)
 STRICT

;
CREATE TABLE tables (
	number TEXT NOT NULL, 
	registered INTEGER NOT NULL, 
	described INTEGER NOT NULL, 
	name TEXT NOT NULL, 
	site TEXT NOT NULL, 
	folded TEXT NOT NULL, 
	PRIMARY KEY (number), 
	FOREIGN KEY(registered) REFERENCES events (seq), 
	FOREIGN KEY(described) REFERENCES events (seq)
)
 STRICT

;
INSERT INTO "tables" VALUES('100000234',2,2,'Short one','','100000234 short one ');
INSERT INTO "tables" VALUES('100000137',1,3,'Long one, hall','Mill Hall','100000137 long one, hall mill hall ann invented 555 0100  ');
CREATE TABLE tellings (
	form TEXT NOT NULL, 
	table_number TEXT NOT NULL, 
	stamp TEXT NOT NULL, 
	body BLOB NOT NULL, 
	PRIMARY KEY (form)
)
 STRICT

;
CREATE INDEX events_subject ON events (subject, seq);
CREATE TRIGGER events_no_update BEFORE UPDATE ON events BEGIN SELECT RAISE(ABORT, 'events can only be added to'); END;
CREATE TRIGGER events_no_delete BEFORE DELETE ON events BEGIN SELECT RAISE(ABORT, 'events can only be added to'); END;
CREATE TRIGGER events_no_replace BEFORE INSERT ON events WHEN EXISTS (SELECT 1 FROM events WHERE seq = NEW.seq OR previous = NEW.previous OR hash = NEW.hash) BEGIN SELECT RAISE(ABORT, 'events can only be added to'); END;
CREATE INDEX ix_page_photos_form ON page_photos (form);
CREATE INDEX ix_page_photos_kept ON page_photos (kept);
CREATE INDEX ix_outlooks_stale ON outlooks (stale);
CREATE INDEX outlooks_due ON outlooks (rank, due_on, table_number);
CREATE INDEX ix_forms_table_number ON forms (table_number);
CREATE INDEX ix_forms_state ON forms (state);
CREATE INDEX ix_tellings_table_number ON tellings (table_number);
CREATE INDEX ix_outlooks_reckoned_on ON outlooks (reckoned_on);
CREATE INDEX tables_named ON tables (name, site);
CREATE INDEX forms_rounds ON forms (printed_on, state);
CREATE INDEX outlooks_waiting ON outlooks (rank, due_on, table_number) WHERE waits > 0;
CREATE INDEX ix_kits_table_number ON kits (table_number);
CREATE INDEX ix_lessons_build ON lessons (build);
COMMIT;
